using StageView.Light.Cautions;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;

namespace StageView.Show.Cautions;

/// <summary>One fixture's way into one volume.</summary>
/// <param name="Worst">The caution of its strongest emitter, at its strongest.</param>
/// <param name="Emitters">How many of its emitters were found so, at least 1; 1 for surfaces and all light together.</param>
/// <param name="At">When it was strongest, show time, s.</param>
/// <param name="Times">From when to when it was found, show time, s.</param>
public sealed record CautionFound(Caution Worst, int Emitters, double At, IReadOnlyList<(double From, double To)> Times);

/// <summary>A fixture that flashes faster than the limit.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="Index">Its place in the rig.</param>
/// <param name="By">The strobe channel that says so, or empty where its light was seen to flash.</param>
/// <param name="Rate">The fastest, flashes a second.</param>
/// <param name="From">First seen, show time, s.</param>
/// <param name="To">Last seen, show time, s.</param>
public sealed record StrobeFound(string Fixture, int Index, string By, double Rate, double From, double To);

/// <summary>Moving pieces near each other, or over and near a volume.</summary>
/// <param name="Piece">What moves.</param>
/// <param name="Beside">The other piece, or the volume.</param>
/// <param name="IsVolume">Whether the other is a volume.</param>
/// <param name="IsOver">Whether part of it was straight above part of the volume.</param>
/// <param name="Count">How many pieces the row stands for: heads that turn over one volume are one row.</param>
/// <param name="Metres">How close at the least, m; 0 when they touched.</param>
/// <param name="CouldBeMetres">How close they may have come between two moments at the speeds they had, m.</param>
/// <param name="MetresPerSecond">Highest speed there, m/s.</param>
/// <param name="Fixture">Place of the moving piece's fixture in the rig.</param>
/// <param name="Point">Where it was closest, m.</param>
/// <param name="At">When it was closest, show time, s.</param>
/// <param name="From">First so, show time, s.</param>
/// <param name="To">Last so, show time, s.</param>
public sealed record MovingFound(
    string Piece, string Beside, bool IsVolume, bool IsOver, int Count, float Metres, float CouldBeMetres, float MetresPerSecond, int Fixture,
    System.Numerics.Vector3 Point, double At, double From, double To);

/// <summary>How fast something travelled at the most.</summary>
/// <param name="Piece">Its name.</param>
/// <param name="MetresPerSecond">m/s, of its fastest point.</param>
/// <param name="At">When, show time, s.</param>
public sealed record TopSpeed(string Piece, float MetresPerSecond, double At);

/// <summary>Reasons to look; never a verdict that something is safe.</summary>
public sealed record CautionsAnswer
{
    /// <summary>Moments looked at.</summary>
    public required int Moments { get; init; }

    public required IReadOnlyList<WatchedVolume> Volumes { get; init; }

    public required CautionLimits Limits { get; init; }

    /// <summary>Irradiance that lasers were held against, W/m2.</summary>
    public required double LaserLimit { get; init; }

    /// <summary>Light and lasers in volumes, by kind and volume, the strongest first.</summary>
    public required IReadOnlyList<CautionFound> Light { get; init; }

    /// <summary>The fastest first.</summary>
    public required IReadOnlyList<StrobeFound> Strobes { get; init; }

    /// <summary>The closest first.</summary>
    public required IReadOnlyList<MovingFound> Moving { get; init; }

    /// <summary>The two moving pieces that came closest, listed or not; null where none moved.</summary>
    public required MovingFound? Closest { get; init; }

    /// <summary>What travelled, the fastest first.</summary>
    public required IReadOnlyList<TopSpeed> Speeds { get; init; }

    public required IReadOnlyList<CheckedThing> Checked { get; init; }

    public required IReadOnlyList<UncheckedThing> NotChecked { get; init; }

    /// <summary>Whether anything was found.</summary>
    public bool Any => Light.Count + Strobes.Count + Moving.Count > 0;

    /// <summary>False when light and lasers had no volume to be checked against: then "nothing found" must not be said.</summary>
    public bool AnythingChecked => Volumes.Count > 0;
}
