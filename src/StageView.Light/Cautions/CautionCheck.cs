using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Cautions;

/// <summary>Finds beams and lasers that enter volumes in which people may be.</summary>
public static class CautionCheck
{
    /// <summary>
    /// Every finding of one moment. Beams are tried at points that fill each volume, along their axes and along two cones of rays about them (at the beam
    /// angle and near the field angle), which finds thin beams between the points; lasers exactly.
    /// An empty list means nothing was found by this check.
    /// </summary>
    public static IReadOnlyList<Caution> Find(LightMeter meter, IReadOnlyList<WatchedVolume> volumes, CautionSettings settings)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(volumes);
        ArgumentNullException.ThrowIfNull(settings);
        var found = new List<Caution>();
        foreach (var volume in volumes)
        {
            Beams(meter, volume, settings, found);
            Lasers(meter.Moment, volume, settings, found);
        }

        return found;
    }

    private static void Beams(LightMeter meter, WatchedVolume volume, CautionSettings settings, List<Caution> found)
    {
        var beams = meter.Moment.Beams;
        var points = volume.Points(settings.Step).ToArray();
        var best = new Caution?[beams.Length];
        Parallel.For(0, beams.Length, i =>
        {
            var b = beams.Span[i];
            var (lux, at) = (0f, Vector3.Zero);
            void Try(Vector3 p)
            {
                // No beam can be brighter there than its peak over the square of the distance.
                if (b.PeakCandela < settings.LeastLux * Vector3.DistanceSquared(p, b.Apex))
                {
                    return;
                }

                var e = BeamPhotometry.Luminance(meter.Facing(new BeamIndex(i), p, Vector3.Zero, out _));
                (lux, at) = e > lux ? (e, p) : (lux, at);
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

            if (lux >= settings.LeastLux)
            {
                best[i] = new Caution
                {
                    Kind = CautionKind.Beam,
                    Volume = volume,
                    Fixture = b.Fixture,
                    Emitter = b.Emitter,
                    Bounces = b.Bounces,
                    Point = at,
                    PathMetres = MathF.Max(0, Vector3.Distance(at, b.Apex) - b.StartDistance),
                    Lux = lux,
                };
            }
        });
        found.AddRange(best.OfType<Caution>());
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

    private static void Lasers(Moment moment, WatchedVolume volume, CautionSettings settings, List<Caution> found)
    {
        var limit = LaserHazard.VisibleLimit(settings.ExposureSeconds);
        foreach (var leg in moment.Lasers.Span)
        {
            var inside = volume.Crossing(leg.Origin, leg.Direction, leg.Length, 0, out var from, out _);
            if (!inside && !volume.Crossing(leg.Origin, leg.Direction, leg.Length, settings.LaserSeparation, out from, out _))
            {
                continue;
            }

            var path = leg.PathBefore + from;
            found.Add(new Caution
            {
                Kind = inside ? CautionKind.Laser : CautionKind.LaserNear,
                Volume = volume,
                Fixture = leg.Fixture,
                Emitter = leg.Emitter,
                Bounces = leg.Bounces,
                Point = leg.Origin + (leg.Direction * from),
                PathMetres = path,
                Irradiance = LaserHazard.Irradiance(leg.PowerWatts, leg.ApertureMetres, leg.DivergenceRadians, path),
                HazardDistance = LaserHazard.NominalHazardDistance(leg.PowerWatts, leg.ApertureMetres, leg.DivergenceRadians, limit),
            });
        }
    }
}
