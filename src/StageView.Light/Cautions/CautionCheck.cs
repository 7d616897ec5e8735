using StageView.Light.Cautions.Volumes;

namespace StageView.Light;

/// <summary>Finds beams and lasers that enter volumes in which people may be.</summary>
public static class CautionCheck
{
    /// <summary>
    /// Every finding of one moment. Beams are asked exactly (<see cref="BeamSearch"/>), so are lasers.
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
        var best = new Caution?[beams.Length];
        Parallel.For(0, beams.Length, i =>
        {
            var b = beams.Span[i];
            if ((b.Bounces == 0 || meter.Settings.Reflected) && BeamSearch.TryFind(meter, i, volume, settings.LeastLux, out var light))
            {
                best[i] = new Caution
                {
                    Kind = CautionKind.Beam,
                    Volume = volume,
                    Fixture = b.Fixture,
                    Emitter = b.Emitter,
                    Bounces = b.Bounces,
                    Point = light.Point,
                    PathMetres = MathF.Max(0, System.Numerics.Vector3.Distance(light.Point, b.Apex) - b.StartDistance),
                    Lux = light.Lux,
                };
            }
        });
        found.AddRange(best.OfType<Caution>());
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
