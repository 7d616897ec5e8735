using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>How packets become levels. Plain data; the scene file's network part fills it.</summary>
public sealed record WireSettings
{
    public static WireSettings Default { get; } = new();

    public ArtNetMapping ArtNet { get; init; } = ArtNetMapping.Default;

    /// <summary>Between sources of equal priority, where <see cref="TieByUniverse"/> says nothing.</summary>
    public TieRule Tie { get; init; } = TieRule.Htp;

    public IReadOnlyDictionary<int, TieRule> TieByUniverse { get; init; } = new Dictionary<int, TieRule>();

    /// <summary>Whether start code 0xDD sets a priority for each address (common practice, no part of E1.31).</summary>
    public bool PerAddressPriority { get; init; }

    /// <summary>Whether levels that are marked as preview are used. They are meant for visualisation (E1.31 §6.2.6), so the default is yes.</summary>
    public bool AcceptPreview { get; init; } = true;

    /// <summary>The priority that Art-Net sources have beside E1.31 sources of the same universe; Art-Net itself has none.</summary>
    public byte ArtNetPriority { get; init; } = E131.E131Numbers.DefaultPriority;

    /// <summary>Further sources of a universe are refused and counted.</summary>
    public int MostSourcesPerUniverse { get; init; } = 16;

    /// <summary>Further universes are refused and counted.</summary>
    public int MostUniverses { get; init; } = 4096;

    /// <summary>Further E1.31 senders (CIDs) are refused and counted.</summary>
    public int MostSenders { get; init; } = 1024;
}
