using System.Numerics;

namespace StageView.Show.HouseLight;

/// <summary>One lantern aimed one way: what it gives every position at full. Illuminances are shares of the least asked for.</summary>
internal sealed record LightColumn
{
    /// <summary>Place of its lantern among those that may be used.</summary>
    public required int Lantern { get; init; }

    /// <summary>Place of the position that it is aimed at; -1 where it stays as it hangs.</summary>
    public required int Aim { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Target { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Lens { get; init; }

    /// <summary>Unit vector.</summary>
    public required Vector3 Axis { get; init; }

    /// <summary>Degrees; null without such an axis.</summary>
    public float? Pan { get; init; }

    /// <summary>Degrees; null without such an axis.</summary>
    public float? Tilt { get; init; }

    /// <summary>Beam angle to set, degrees; null for a lantern without a zoom that can be set.</summary>
    public float? Zoom { get; init; }

    /// <summary>Half the field angle, rad.</summary>
    public required float HalfField { get; init; }

    /// <summary>The positions that it lights, rising; the other lists go along.</summary>
    public required int[] At { get; init; }

    /// <summary>In the quantity asked.</summary>
    public required float[] Face { get; init; }

    /// <summary>Of a horizontal plane.</summary>
    public required float[] Flat { get; init; }

    /// <summary>Of a cylinder.</summary>
    public required float[] Cylinder { get; init; }

    /// <summary>What of <see cref="Face"/> counts as from the audience's right less what counts as from its left.</summary>
    public required float[] Side { get; init; }

    /// <summary>What its angles cost at full, over all positions, in the cost of <see cref="LevelFit"/>.</summary>
    public required double Cost { get; init; }
}
