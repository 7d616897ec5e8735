using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;

namespace StageView.Show.HouseLight;

/// <summary>How a lantern is aimed.</summary>
public enum LanternKind
{
    /// <summary>By pan and tilt.</summary>
    Head,

    /// <summary>By hand: one that the venue file hangs, so that it can say how.</summary>
    ByHand,

    /// <summary>It stays as it hangs: the tour's own without pan and tilt.</summary>
    AsHung,
}

/// <summary>A fixture that may be used.</summary>
/// <param name="Fixture">In the rig.</param>
/// <param name="Root">Where it hangs, world.</param>
/// <param name="Kind">How it is aimed.</param>
/// <param name="Zooms">Its beams at full, one entry for each zoom tried; the zoom is null where none can be set.</param>
internal sealed record Lantern(Fixture Fixture, Pose Root, LanternKind Kind, IReadOnlyList<(float? Zoom, Beam[] Beams)> Zooms)
{
    /// <summary>Why it can't be used at all; empty where it can.</summary>
    public string Unfit { get; init; } = "";
}

/// <summary>Why a lantern can't light a position; <see cref="Free"/> where it can.</summary>
internal enum Hindrance
{
    Free,
    OutOfReach,
    Obstructed,
    Audience,
    Camera,
}

/// <param name="What">Whether and what kind.</param>
/// <param name="Name">Of what stands in the way, the volume or the camera; or what the limits say.</param>
internal readonly record struct Hindered(Hindrance What, string Name)
{
    public string Said => What switch
    {
        Hindrance.OutOfReach => "out of reach",
        Hindrance.Obstructed => $"behind {Name}",
        Hindrance.Audience => $"its beam would enter {Name}",
        Hindrance.Camera => $"its beam would enter the lens of camera {Name}",
        _ => "",
    };
}
