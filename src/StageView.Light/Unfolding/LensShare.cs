using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Unfolding;

/// <summary>
/// The share of a lens that a point sees past mirrors' edges and scenery: the half-shadow, d b/a wide at b behind an edge that lies a from a lens of
/// diameter d. The mean over points of the lens, each over its own way: past every mirror's whole outline.
/// </summary>
internal static class LensShare
{
    /// <summary>Points where the middle and the rim of a lens don't agree: the error is below a 64th or so.</summary>
    private const int Most = 64;

    private const int Rim = 6;

    // The middle, the rim, and a spiral at equal areas (H. Vogel, Mathematical Biosciences 44, 179, 1979).
    private static readonly Vector2[] Probes =
        [Vector2.Zero, .. Enumerable.Range(0, Rim).Select(i => Turned(0.97f, (i + 0.25f) * MathF.Tau / Rim))];

    private static readonly Vector2[] Spiral = [.. Enumerable.Range(0, Most).Select(i => Turned(MathF.Sqrt((i + 0.5f) / Most), i * 2.39996323f))];

    /// <summary>True for a beam whose edges are soft.</summary>
    public static bool IsWide(in Beam beam) => beam.NearLength > 0 && beam.ApertureRadius > 0;

    /// <summary>0 to 1.</summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="scene">What stands in the way; null for mirrors' edges alone.</param>
    /// <param name="beam">A beam of which <see cref="IsWide"/> is true.</param>
    /// <param name="point">m.</param>
    /// <param name="lifted">The point a little before its surface, m.</param>
    public static float Of(Moment moment, OcclusionScene? scene, in Beam beam, Vector3 point, Vector3 lifted)
    {
        if (scene is null && beam.Bounces == 0)
        {
            return 1;
        }

        var seen = 0;
        foreach (var probe in Probes)
        {
            seen += Sees(moment, scene, beam, point, lifted, probe) ? 1 : 0;
        }

        if (seen == 0 || seen == Probes.Length)
        {
            return seen == 0 ? 0 : 1;
        }

        seen = 0;
        foreach (var at in Spiral)
        {
            seen += Sees(moment, scene, beam, point, lifted, at) ? 1 : 0;
        }

        return seen / (float)Most;
    }

    private static bool Sees(Moment moment, OcclusionScene? scene, in Beam beam, Vector3 point, Vector3 lifted, Vector2 at)
    {
        // Edges by the point itself, obstacles by the lifted one, as for a point source.
        var from = point;
        var leg = beam;
        var shifted = At(leg, at);
        while (leg.Bounces > 0)
        {
            var m = moment.LastMirrorOf(leg);
            var outline = moment.OutlineOf(moment[m].Outline);
            if (Vector3.Dot(from - outline[0], moment[m].Normal) <= 0 || !ConvexClip.Sees(shifted, outline, from))
            {
                return false;
            }

            from = UnfoldedPath.Crossing(from, shifted, outline[0], moment[m].Normal);
            leg = moment[leg.Parent];
            shifted = At(leg, at);
        }

        return scene is null || UnfoldedPath.Clear(moment, scene, beam, lifted, at);
    }

    /// <summary>Where a point of the lens lies, or its image, m; <paramref name="at"/> in a disc of radius 1.</summary>
    public static Vector3 At(in Beam beam, Vector2 at) => beam.Apex + (((beam.Right * at.X) + (beam.Up * at.Y)) * beam.ApertureRadius);

    private static Vector2 Turned(float radius, float angle)
    {
        var (sin, cos) = Trig.SinCos(angle);
        return new Vector2(cos, sin) * radius;
    }
}
