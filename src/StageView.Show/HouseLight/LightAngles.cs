using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;

namespace StageView.Show.HouseLight;

/// <summary>Where a lantern is, as seen from a face.</summary>
/// <param name="Elevation">Over the level, degrees.</param>
/// <param name="Azimuth">In plan off where the face looks, degrees, positive to the audience's right.</param>
/// <param name="Throw">m.</param>
public readonly record struct LightAngles(float Elevation, float Azimuth, float Throw)
{
    /// <summary>Degrees beside the middle at which a lantern counts as wholly from one side.</summary>
    private const float WhollySide = 30;

    /// <param name="face">m.</param>
    /// <param name="facing">Where it looks, unit and level.</param>
    /// <param name="lens">m.</param>
    public static LightAngles Of(Vector3 face, Vector3 facing, Vector3 lens)
    {
        var to = lens - face;
        var right = new Vector3(-facing.Y, facing.X, 0);
        return new LightAngles(Angles.Degrees(Trig.Atan2(to.Z, new Vector2(to.X, to.Y).Length())),
            Angles.Degrees(Trig.Atan2(Vector3.Dot(to, right), Vector3.Dot(to, facing))), to.Length());
    }

    /// <summary>From -1 (all from the audience's left) to 1 (all from its right).</summary>
    public float Side => Math.Clamp(Azimuth / WhollySide, -1, 1);

    /// <summary>
    /// What an angle costs, 0 for a good one: nothing from 35 to 55 degrees up, then as much more as it is steeper or flatter, 1 at 15 and 75; nothing up to
    /// 60 degrees beside, 1 at 90; a little where it comes from the middle and shows no shape. 45 degrees up and two sides are common practice (McCandless, A
    /// Method of Lighting the Stage, 1932, has 45 degrees up and 45 to each side; from memory); the widths of the ranges are ours.
    /// </summary>
    public float Cost => MathF.Max(0, (MathF.Abs(Elevation - 45) - 10) / 20) + MathF.Max(0, (MathF.Abs(Azimuth) - 60) / 30)
        + (.1f * MathF.Max(0, 1 - (MathF.Abs(Azimuth) / 15)));
}
