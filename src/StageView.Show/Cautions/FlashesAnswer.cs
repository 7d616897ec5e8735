using StageView.Light.Cautions;
using StageView.Light.Cautions.Comfort;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;

namespace StageView.Show.Cautions;

/// <summary>What one place saw.</summary>
/// <param name="Place">Where.</param>
/// <param name="Wcag">Flashes by WCAG 2.2.</param>
/// <param name="Broadcast">Flashes by ITU-R BT.1702; the same meter where both rules ask the same of luminances.</param>
/// <param name="Comfort">How bright it was; null for a camera.</param>
public sealed record PlaceFlashes(WatchPlace Place, FlashMeter Wcag, FlashMeter Broadcast, ComfortWatch? Comfort)
{
    /// <summary>Both rules' spells, each with its rule; those that both rules list are told once, with both names.</summary>
    public IEnumerable<(string Rule, FlashSpell Spell)> Spells => ReferenceEquals(Wcag, Broadcast)
        ? Wcag.Spells.Select(s => ($"{Wcag.Rule.Name} and ITU-R BT.1702", s))
        : Wcag.Spells.Select(s => (Wcag.Rule.Name, s)).Concat(Broadcast.Spells.Select(s => (Broadcast.Rule.Name, s)));

    /// <summary>How many spells there were, kept one by one or not.</summary>
    public int SpellCount => ReferenceEquals(Wcag, Broadcast) ? Wcag.SpellCount : Wcag.SpellCount + Broadcast.SpellCount;

    /// <summary>The most flashes of a kind within one second over enough of the field, allowed or not.</summary>
    public int Most(FlashKind kind) => Math.Max(Wcag.MostFlashes(kind), Broadcast.MostFlashes(kind));
}

/// <summary>A time in which a fixture flashed faster than the limit.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="FromLevels">Whether the rate is what the levels tell its shutter, not what its light did.</param>
/// <param name="Rate">The highest, flashes a second.</param>
/// <param name="From">s.</param>
/// <param name="To">s.</param>
public sealed record StrobeTime(string Fixture, bool FromLevels, double Rate, double From, double To);

/// <summary>One cue and the worst in it.</summary>
/// <param name="Name">The cue.</param>
/// <param name="From">When it begins, s.</param>
/// <param name="To">When the next one does, s.</param>
/// <param name="Place">The place that saw the most, or empty.</param>
/// <param name="Kind">Of those flashes.</param>
/// <param name="Flashes">Within one second there; 0 when no place saw more than a rule allows.</param>
/// <param name="AreaShare">Share of the field, or of the picture, that flashed together.</param>
/// <param name="StrobeRate">The fastest fixture's, flashes a second; 0 when none is above the limit.</param>
/// <param name="Strobe">That fixture, or empty.</param>
public sealed record CueFlashes(
    string Name, double From, double To, string Place, FlashKind Kind, int Flashes, double AreaShare, double StrobeRate, string Strobe);

/// <summary>Flashes and bright light over a show. Reasons to look; never a verdict that something is safe.</summary>
public sealed record FlashesAnswer
{
    public required string Rig { get; init; }

    public required FlashesAsked Asked { get; init; }

    /// <summary>Moments counted.</summary>
    public int Moments { get; init; }

    /// <summary>Moments that differed from the one before and were looked at anew.</summary>
    public int Looked { get; init; }

    public IReadOnlyList<PlaceFlashes> Places { get; init; } = [];

    /// <summary>By time.</summary>
    public IReadOnlyList<StrobeTime> Strobes { get; init; } = [];

    /// <summary>By time; empty without cues.</summary>
    public IReadOnlyList<CueFlashes> Cues { get; init; } = [];

    public IReadOnlyList<CheckedThing> Checked { get; init; } = [];

    public required IReadOnlyList<UncheckedThing> NotChecked { get; init; }

    public CautionLimits Limits => Asked.Limits;

    /// <summary>False when there was no place to look from: then "nothing found" must not be said.</summary>
    public bool AnythingChecked => Checked.Count > 0;

    /// <summary>Whether anything went beyond a limit.</summary>
    public bool Any => Strobes.Count > 0 || Places.Any(p => p.SpellCount > 0);

    /// <summary>The cue that runs at a time, or empty.</summary>
    public string CueAt(double seconds) => Cues.LastOrDefault(c => c.From <= seconds + 1e-9)?.Name ?? "";
}
