using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Radiance;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// Light that haze scatters towards an eye, roughly and fast: the integral of <see cref="ReferenceRadiance"/> by midpoints at equal angles (Kulla and
/// Fajardo 2012),
/// without shadows. A few percent off for soft profiles; enough to tell a flash of ten percent of white from none.
/// </summary>
internal static class HazeGlow
{
    private const int Points = 6;

    /// <summary>Scattered luminance along a ray from one beam, cd/m².</summary>
    public static Vector3 Along(Moment moment, in Beam b, Vector3 origin, Vector3 direction, float far)
    {
        if (!RayInterval.TryFind(moment, b, b.Apex, origin, direction, far, out var from, out var to))
        {
            return Vector3.Zero;
        }

        var sum = Vector3.Zero;
        var haze = moment.Haze;
        var rel = origin - b.Apex;
        var closest = -Vector3.Dot(rel, direction);
        var d = MathF.Max(0.02f, (rel + (direction * closest)).Length());
        var (a, z) = (Trig.Atan2((float)from - closest, d), Trig.Atan2((float)to - closest, d));
        for (var k = 0; k < Points; k++)
        {
            var phi = a + ((z - a) * (k + 0.5f) / Points);
            var t = closest + (d * Trig.Tan(phi));
            var r = d / Trig.Cos(phi);
            var w = (rel + (direction * t)) / r;
            var candela = BeamPhotometry.CandelaRgb(moment, b, w, r);
            var path = t + MathF.Max(0, r - b.StartDistance);
            sum += candela * (float)(haze.ScatteringPerMetre * ReferenceRadiance.Phase(haze.Anisotropy, -Vector3.Dot(w, direction))
                * Math.Exp(-haze.ExtinctionPerMetre * path) / d * (z - a) / Points);
        }

        return sum;
    }
}
