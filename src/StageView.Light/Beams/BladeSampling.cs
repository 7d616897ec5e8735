using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Light.Beams;

/// <summary>What framing blades leave of a beam. <c>shaders/include/beamlight.glsl</c> is the GPU twin.</summary>
/// <remarks>
/// Out of focus a point of the gate becomes a disc of the lens's angular size times |1/f - 1/z|, as for a gobo. What a disc of radius ρ leaves at a
/// distance x·ρ from a straight edge, ½ + (x√(1 - x²) + asin x)/π, is taken as ½ + x(21 - 5x²)/32, which is within .012 of it. Edges multiply.
/// </remarks>
public static class BladeSampling
{
    /// <summary>Softness below which an edge counts as sharp, on the plane at unit distance.</summary>
    public const float Sharpest = 1e-4f;

    /// <summary>Share that passes the blades towards a unit direction, 0 to 1; 1 for a beam without blades.</summary>
    /// <param name="beam">The beam.</param>
    /// <param name="direction">From its apex.</param>
    /// <param name="distance">From its apex, m; infinite for far away.</param>
    public static float Transmission(in Beam beam, Vector3 direction, float distance)
    {
        var blades = beam.Blades;
        if (blades.Count == 0)
        {
            return 1;
        }

        var along = Vector3.Dot(direction, beam.Axis);
        if (along <= 0)
        {
            return 0;
        }

        var (x, y) = (Vector3.Dot(direction, beam.Right) / along, Vector3.Dot(direction, beam.Up) / along);
        var soft = SoftnessAt(beam, (distance * along) - beam.StartDistance);
        var sum = 1f;
        for (var i = 0; i < blades.Count; i++)
        {
            var edge = blades[i];
            var off = Math.Clamp((edge.Z - (edge.X * x) - (edge.Y * y)) / soft, -1, 1);
            sum *= 0.5f + (off * (0.65625f - (0.15625f * off * off)));
        }

        return sum;
    }

    /// <summary>Half width of the blades' edges on the plane at unit distance.</summary>
    /// <param name="beam">A beam with blades.</param>
    /// <param name="metres">From its lens along the axis.</param>
    public static float SoftnessAt(in Beam beam, float metres)
    {
        var blur = beam.FocusDistance > 0 ? beam.ApertureRadius * MathF.Abs((1 / beam.FocusDistance) - (1 / MathF.Max(metres, 0.05f))) : 0;
        return MathF.Max(Sharpest, MathF.Min(beam.Blades.Softness + blur, beam.Blades.MostSoftness));
    }
}
