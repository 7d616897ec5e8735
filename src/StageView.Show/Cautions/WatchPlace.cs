using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Show.Cautions;

/// <summary>A place from which flashes and bright light are looked for.</summary>
public sealed record WatchPlace
{
    /// <summary>Such as "floor, front left" or "camera house".</summary>
    public required string Name { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Eye { get; init; }

    /// <summary>The point in the middle of what it sees, m.</summary>
    public required Vector3 LookAt { get; init; }

    /// <summary>The volume a seat belongs to; empty for a camera.</summary>
    public string Volume { get; init; } = "";

    /// <summary>Whether the volume is the crew's.</summary>
    public bool IsCrew { get; init; }

    /// <summary>The camera, or null for a seat.</summary>
    public Camera? Camera { get; init; }
}
