using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Benchmarks.Light;

/// <summary>
/// The rival of <c>cautions.cones</c>: each volume is filled with points .4 m apart, each beam is metered at all of them, and along rays about its axis. Every
/// beam narrower than that may slip through.
/// </summary>
internal static class ConeRaster
{
    private const float Step = 0.4f;

    /// <summary>How many beams reach a volume with the least illuminance.</summary>
    public static int Count(LightMeter meter, IReadOnlyList<WatchedVolume> volumes, float leastLux)
    {
        var found = 0;
        foreach (var volume in volumes)
        {
            var points = Points(volume).ToArray();
            Parallel.For(0, meter.Moment.Beams.Length, i =>
            {
                if (Strongest(meter, i, volume, points, leastLux) >= leastLux)
                {
                    Interlocked.Increment(ref found);
                }
            });
        }

        return found;
    }

    private static float Strongest(LightMeter meter, int beam, WatchedVolume volume, Vector3[] points, float leastLux)
    {
        var b = meter.Moment.Beams.Span[beam];
        var most = 0f;
        void Try(Vector3 p)
        {
            if (b.PeakCandela >= leastLux * Vector3.DistanceSquared(p, b.Apex))
            {
                most = MathF.Max(most, BeamPhotometry.Luminance(meter.Facing(new(beam), p, Vector3.Zero, out _)));
            }
        }

        foreach (var p in points)
        {
            Try(p);
        }

        foreach (var ray in Rays(Landings.LeadingRay(meter.Moment, b, out _), b))
        {
            if (volume.Crossing(b.Apex, ray, Landings.FarLimit, 0, out var from, out var to))
            {
                for (var k = 0; k <= 8; k++)
                {
                    Try(b.Apex + (ray * (from + ((to - from) * k / 8))));
                }
            }
        }

        return most;
    }

    /// <summary>The leading ray, then eight rays a cone at the half beam angle and at nine tenths of the half field angle.</summary>
    private static IEnumerable<Vector3> Rays(Vector3 leading, Beam beam)
    {
        yield return leading;
        if (beam.Profile.IsOmnidirectional)
        {
            yield break;
        }

        var (u, v) = (beam.Right, beam.Up);
        foreach (var angle in new[] { beam.Profile.HalfBeamRadians, 0.9f * beam.Profile.HalfFieldRadians })
        {
            var spread = MathF.Tan(MathF.Min(angle, 1.3f));
            for (var k = 0; k < 8; k++)
            {
                var (sin, cos) = MathF.SinCos(k * MathF.Tau / 8);
                yield return Vector3.Normalize(beam.Axis + (((u * cos) + (v * sin)) * spread));
            }
        }
    }

    private static IEnumerable<Vector3> Points(WatchedVolume volume)
    {
        int Many(float size) => Math.Clamp((int)MathF.Ceiling(size / Step), 1, 200);
        var (nx, ny, nz) = (Many(volume.Size.X), Many(volume.Size.Y), Many(volume.Size.Z));
        for (var z = 0; z <= nz; z++)
        {
            for (var y = 0; y <= ny; y++)
            {
                for (var x = 0; x <= nx; x++)
                {
                    yield return volume.Pose.TransformPoint(volume.Size * new Vector3(((float)x / nx) - 0.5f, ((float)y / ny) - 0.5f, ((float)z / nz) - 0.5f));
                }
            }
        }
    }
}
