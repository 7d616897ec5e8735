using System.Numerics;
using StageView.Show.Questions;

namespace StageView.Show.Refocus;

/// <summary>What becomes of a position in the new venue. In the order in which a crew looks at them.</summary>
public enum RefocusState
{
    /// <summary>The fixture is not there.</summary>
    NotThere,

    /// <summary>No pan and tilt within its limits reaches it, or no way over the mirrors.</summary>
    OutOfReach,

    /// <summary>Something stands in the way of its axis, or takes a tenth of its cone more than before.</summary>
    Obstructed,

    /// <summary>Some of its cone enters a volume of the audience.</summary>
    Audience,

    /// <summary>Reached the other way round: another solution of the yoke, or a long way of pan.</summary>
    Flipped,

    /// <summary>Other pan and tilt than before.</summary>
    Moved,

    /// <summary>As before.</summary>
    Kept,
}

/// <summary>One position of one fixture, before and after.</summary>
public sealed record RefocusRow
{
    public required string Fixture { get; init; }

    /// <summary>The number the console knows the fixture by.</summary>
    public required string FixtureNumber { get; init; }

    /// <summary>What it hangs on in the new venue, or hung on.</summary>
    public required string Hang { get; init; }

    /// <summary>From 1, in the order in which the fixture first takes them.</summary>
    public required int Position { get; init; }

    /// <summary>When it is used, show time, s; of each use the beginning.</summary>
    public required IReadOnlyList<double> Times { get; init; }

    /// <summary>Names of the cues in which it is used; empty without a cue file.</summary>
    public required IReadOnlyList<string> Cues { get; init; }

    public required RefocusState State { get; init; }

    /// <summary>What stands in the way, what would cure it, who could take over; empty where there is nothing to say.</summary>
    public string Detail { get; init; } = "";

    public required Anchor Anchor { get; init; }

    /// <summary>Where the anchor is in the new venue, m; null for a direction.</summary>
    public Vector3? At { get; init; }

    /// <summary>Degrees of its own axes.</summary>
    public required float OldPan { get; init; }

    public required float OldTilt { get; init; }

    /// <summary>Degrees; null where there is none.</summary>
    public float? NewPan { get; init; }

    public float? NewTilt { get; init; }

    /// <summary>The axis in the new venue, m: the lens, where it turns on each mirror, and where it lands; empty where there are no new values.</summary>
    public IReadOnlyList<Vector3> Way { get; init; } = [];

    /// <summary>Illuminance there beside before, as a factor: the square of the ways; null where it can't be told.</summary>
    public double? LuxFactor { get; init; }

    /// <summary>Width of the spot beside before, as a factor.</summary>
    public double? SpotFactor { get; init; }

    /// <summary>Illuminance beside before, as a factor, with the beam angle that holds the spot or the nearest that the fixture has.</summary>
    public double? LuxFactorHeld { get; init; }

    /// <summary>What to multiply the dimmer by so that the illuminance is as before, 0 to 1; null where full is darker by more than 2 %.</summary>
    public double? DimmerThatHolds => LuxFactorHeld is { } lux && lux > .98 ? Math.Min(1, 1 / lux) : null;

    /// <summary>Parts of its cone that are shaded, enter people's volumes or miss a mirror; the wider of the old and the held beam angle.</summary>
    public IReadOnlyList<ConeRow> Cone { get; init; } = [];

    /// <summary>Beam angle before, degrees; null without a beam.</summary>
    public float? Zoom { get; init; }

    /// <summary>Beam angle that keeps the width of the spot, degrees; null where the fixture can't.</summary>
    public float? ZoomThatHolds { get; init; }

    /// <summary>The zooms and focuses it is used with, the longest first; empty for a head with neither.</summary>
    public IReadOnlyList<OpticsRow> Optics { get; init; } = [];

    /// <summary>How much later than before the worst move into it comes, since the axes have farther to go, s; 0 where none does.</summary>
    public double LateSeconds { get; init; }

    /// <summary>What is to be said of it, with the move that comes late; empty where there is nothing.</summary>
    public string Remark => LateSeconds <= 0 ? Detail : (Detail.Length > 0 ? Detail + "; " : "")
        + string.Create(System.Globalization.CultureInfo.InvariantCulture, $"a move into it comes {LateSeconds:0.0#} s later than before");

    /// <summary>The DMX values of pan and tilt in the new venue.</summary>
    public IReadOnlyList<AimChannel> Channels { get; init; } = [];
}

/// <summary>All positions of a show in a new venue.</summary>
/// <param name="Rows">Worst first.</param>
/// <param name="Tour">Name of the rig.</param>
/// <param name="From">The old venue, or empty for the rig as it is.</param>
/// <param name="To">The new venue, or empty.</param>
/// <param name="NotAsked">What was not looked at, and why.</param>
public sealed record RefocusAnswer(IReadOnlyList<RefocusRow> Rows, string Tour, string From, string To, IReadOnlyList<string> NotAsked)
{
    /// <summary>Heights of winches that hang elsewhere, with the travel that keeps them; the positions are worked out for these.</summary>
    public IReadOnlyList<WinchRow> Winches { get; init; } = [];

    /// <summary>Turning mirrors that have to stand otherwise; the positions that go by them are worked out for these.</summary>
    public IReadOnlyList<MirrorRow> Mirrors { get; init; } = [];

    /// <summary>Whether a position needs a person to decide: not there, out of reach, obstructed, into the audience.</summary>
    public bool NeedsSomebody => Rows.Any(r => r.State <= RefocusState.Audience);
}
