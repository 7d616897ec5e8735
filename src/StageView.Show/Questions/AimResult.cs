using System.Numerics;
using StageView.Rig.Pieces;

namespace StageView.Show.Questions;

/// <summary>What became of one fixture's aim.</summary>
/// <param name="Fixture">The head.</param>
/// <param name="Target">Where its light was wanted, m.</param>
/// <param name="Solutions">All inside the limits, the shortest move first; empty when refused.</param>
/// <param name="Why">Why it was refused, or empty.</param>
/// <param name="Turned">The fixtures whose mirrors were turned for it, first met first.</param>
public sealed record AimResult(
    Fixture Fixture, Vector3 Target, IReadOnlyList<AimSolution> Solutions, string Why, IReadOnlyList<AimTurn> Turned)
{
    public static AimResult Refused(Fixture fixture, Vector3 target, string why) => new(fixture, target, [], why, []);
}

/// <summary>A mirror that was turned.</summary>
/// <param name="Fixture">What turns it.</param>
/// <param name="Pan">Degrees.</param>
/// <param name="Tilt">Degrees.</param>
/// <param name="Channels">The DMX values.</param>
public sealed record AimTurn(Fixture Fixture, float Pan, float Tilt, IReadOnlyList<AimChannel> Channels);

/// <summary>One way to point a fixture.</summary>
/// <param name="Pan">Degrees.</param>
/// <param name="Tilt">Degrees.</param>
/// <param name="Mirrors">Mirrors met, first met first.</param>
/// <param name="Channels">The DMX values.</param>
public sealed record AimSolution(float Pan, float Tilt, string[] Mirrors, IReadOnlyList<AimChannel> Channels)
{
    /// <summary>Share of the fixture's flux that gets past the mirrors, 1 when straight.</summary>
    public double Arriving { get; init; }

    /// <summary>Illuminance there at full on a plane that faces the light, obstacles left out, lx.</summary>
    public float Lux { get; init; }

    /// <summary>How far beside the target the beam's axis passes with the DMX values as they are, m.</summary>
    public float MissMetres { get; init; }

    /// <summary>The larger of the two turns from where it stands, degrees.</summary>
    public float MoveDegrees { get; init; }

    /// <summary>The way of the beam's axis: where it leaves the head, where it meets each mirror, the target; m. Empty for a way that doesn't do.</summary>
    public IReadOnlyList<Vector3> Path { get; init; } = [];

    /// <summary>Why this way doesn't do, or empty.</summary>
    public string Trouble { get; init; } = "";
}

/// <param name="Attribute">Pan or Tilt.</param>
/// <param name="Addresses">universe.address of each byte, coarse first, with slashes between.</param>
/// <param name="Value">Raw value in the channel's resolution.</param>
/// <param name="Highest">255, 65535 or 16777215.</param>
public sealed record AimChannel(string Attribute, string Addresses, uint Value, uint Highest)
{
    /// <summary>The channel's name in its fixture.</summary>
    public string Channel { get; init; } = "";
}
