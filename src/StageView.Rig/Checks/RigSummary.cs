using StageView.Rig.Profiles;

namespace StageView.Rig.Checks;

/// <summary>A rig in figures.</summary>
public sealed record RigSummary
{
    public required string Name { get; init; }

    public required int Fixtures { get; init; }

    /// <summary>Fixtures by profile and mode, most first.</summary>
    public required IReadOnlyList<TypeCount> Types { get; init; }

    /// <summary>Universes with addresses in use, and how many.</summary>
    public required IReadOnlyList<UniverseUse> Universes { get; init; }

    public required int AddressesUsed { get; init; }

    public required int Pixels { get; init; }

    public required int Beams { get; init; }

    public required int Lasers { get; init; }

    public required int Mirrors { get; init; }

    public required int SceneryPieces { get; init; }

    public required int Cameras { get; init; }

    /// <summary>What the venue file changed, one line each.</summary>
    public required IReadOnlyList<string> VenueChanges { get; init; }

    /// <summary>What of the fixture profiles is not simulated or not understood; profiles that have nothing of the kind are left out.</summary>
    public required IReadOnlyList<PassedOver> PassedOver { get; init; }

    /// <summary>Of each profile that has a photometric file: its own values beside the file's.</summary>
    public required IReadOnlyList<MeasuredProfile> Measured { get; init; }

    /// <summary>What an import could not take over.</summary>
    public required IReadOnlyList<string> NotTakenOver { get; init; }

    /// <summary>Names of fixtures that have no address.</summary>
    public required IReadOnlyList<string> Unpatched { get; init; }
}

public sealed record TypeCount(string Profile, string Mode, int Count, int Footprint);

public sealed record PassedOver(string Profile, string File, IReadOnlyList<string> Lines);

public sealed record MeasuredProfile(string Profile, string File, IReadOnlyList<PhotometryMatch> Values);

public sealed record UniverseUse(int Universe, int Used, int FirstFree);
