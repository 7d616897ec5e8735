using System.Numerics;
using StageView.Rig.Pieces;

namespace StageView.Show.HouseLight;

/// <summary>What front light gives one acting position.</summary>
public sealed record FacePosition
{
    public required string Name { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Point { get; init; }

    /// <summary>lx, in the quantity asked.</summary>
    public required float Lux { get; init; }

    /// <summary>lx under the least asked for; 0 where it is held.</summary>
    public required float ShortBy { get; init; }

    /// <summary>Cylindrical over horizontal illuminance; 0 in the dark.</summary>
    public required double Modelling { get; init; }

    /// <summary>Whether the ratio lies within what was asked for.</summary>
    public required bool IsShaped { get; init; }

    /// <summary>The lantern that gives most; empty in the dark.</summary>
    public required string Key { get; init; }

    /// <summary>Where that one is, seen from the face.</summary>
    public required LightAngles KeyAt { get; init; }

    /// <summary>lx from the audience's left.</summary>
    public required float FromLeft { get; init; }

    /// <summary>lx from the audience's right.</summary>
    public required float FromRight { get; init; }

    /// <summary>Why it can't be held; empty where it is.</summary>
    public required string Why { get; init; }

    public bool IsHeld => ShortBy <= 0 && IsShaped;
}

/// <summary>A lantern that is used.</summary>
public sealed record UsedLantern
{
    public required string Fixture { get; init; }

    public required string Number { get; init; }

    /// <summary>Where it hangs, by name.</summary>
    public required string Hang { get; init; }

    /// <summary>Where its level goes: its first address.</summary>
    public required string Address { get; init; }

    public required LanternKind Kind { get; init; }

    /// <summary>What it is aimed at: a position, and how far over it.</summary>
    public required string AimedAt { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Target { get; init; }

    /// <summary>Degrees; null without such an axis.</summary>
    public float? Pan { get; init; }

    /// <summary>Degrees; null without such an axis.</summary>
    public float? Tilt { get; init; }

    /// <summary>Of its axis in plan, degrees from straight upstage, positive to the audience's right.</summary>
    public required float Turn { get; init; }

    /// <summary>Of its axis under the level, degrees.</summary>
    public required float Down { get; init; }

    /// <summary>Beam angle to set, degrees; null where none can be set.</summary>
    public float? Zoom { get; init; }

    /// <summary>0 to 1, whole percents.</summary>
    public required float Level { get; init; }

    /// <summary>To what it is aimed at, m.</summary>
    public required float Throw { get; init; }

    /// <summary>The positions to which it gives a tenth of their light or more.</summary>
    public required string Serves { get; init; }
}

/// <summary>A lantern that is not used, and why.</summary>
public sealed record UnusedLantern(string Fixture, string Hang, string Why);

/// <summary>What the house would have to hang beside what it has.</summary>
public sealed record HangAsked
{
    /// <summary>m.</summary>
    public required Vector3 At { get; init; }

    /// <summary>Where that is, seen from the middle of the positions.</summary>
    public required LightAngles Seen { get; init; }

    /// <summary>Intensity towards each of the positions, cd.</summary>
    public required float Candela { get; init; }

    /// <summary>Full angle over which it has that intensity, degrees.</summary>
    public required float ConeDegrees { get; init; }

    /// <summary>The positions.</summary>
    public required string For { get; init; }

    /// <summary>What it shall give them, lx.</summary>
    public required float Lux { get; init; }

    /// <summary>What speaks against that place; empty where nothing was found.</summary>
    public required string Trouble { get; init; }
}

/// <summary>Front light from lanterns of the house.</summary>
public sealed record HouseLightAnswer
{
    public required string Tour { get; init; }

    public required string Venue { get; init; }

    public required HouseLightAsked Asked { get; init; }

    /// <summary>The worst first: what is darkest, then what has the wrong shape, then the rest from the least light on.</summary>
    public required IReadOnlyList<FacePosition> Positions { get; init; }

    public required IReadOnlyList<UsedLantern> Used { get; init; }

    public required IReadOnlyList<UnusedLantern> Unused { get; init; }

    public required IReadOnlyList<HangAsked> ToHang { get; init; }

    /// <summary>What was not looked at, and how, a line each.</summary>
    public required IReadOnlyList<string> Notes { get; init; }

    /// <summary>The look file's text: levels, zooms, pans and tilts.</summary>
    public required string Look { get; init; }

    /// <summary>The rig with the lanterns that are aimed by hand aimed so.</summary>
    public required RigScene Aimed { get; init; }

    /// <summary>Least illuminance over the mean; 0 in the dark.</summary>
    public double Evenness => Positions.Average(p => p.Lux) is > 0 and var mean ? Positions.Min(p => p.Lux) / mean : 0;

    public bool IsHeld => Positions.All(p => p.IsHeld);
}
