using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Moments;

namespace StageView.Light.Cautions;

/// <summary>Laser rays that enter a volume or pass near it: beams that stand still one by one, a scanned figure by the worst of its rays.</summary>
internal static class LaserCautions
{
    public static void Find(Moment moment, WatchedVolume volume, CautionLimits limits, List<Caution> found)
    {
        var figures = new Dictionary<(int Scanner, int Bounces, CautionKind Kind), (int Place, int Leg)>();
        for (var i = 0; i < moment.Lasers.Length; i++)
        {
            ref readonly var leg = ref moment.Lasers.Span[i];
            if (Of(moment, leg, volume, limits) is not { } caution)
            {
                continue;
            }

            if (leg.Scanner == 0)
            {
                found.Add(caution);
            }
            else if (!figures.TryGetValue((leg.Scanner, leg.Bounces, caution.Kind), out var at))
            {
                figures[(leg.Scanner, leg.Bounces, caution.Kind)] = (found.Count, i);
                found.Add(caution);
            }
            else if (caution.ExposureRatio > found[at.Place].ExposureRatio)
            {
                found[at.Place] = caution;
                figures[(leg.Scanner, leg.Bounces, caution.Kind)] = (at.Place, i);
            }
        }

        // The hazard distance of a figure is searched for, so only where it is told.
        foreach (var (place, leg) in figures.Values)
        {
            found[place] = found[place] with { HazardDistance = LaserExposure.HazardDistance(moment, moment.Lasers.Span[leg], limits) };
        }
    }

    private static Caution? Of(Moment moment, in LaserBeam leg, WatchedVolume volume, CautionLimits limits)
    {
        // A ray of a figure stands for what lies between it and the next.
        var margin = leg.ScanRadius * (leg.PathBefore + leg.Length);
        var inside = volume.Crossing(leg.Origin, leg.Direction, leg.Length, margin, out var from, out _);
        if (!inside && !volume.CrossingNear(leg.Origin, leg.Direction, leg.Length, (float)limits.LaserSideMetres + margin,
            (float)limits.LaserHeightMetres + margin, out from, out _))
        {
            return null;
        }

        var path = leg.PathBefore + from;
        return new Caution
        {
            Kind = inside ? CautionKind.Laser : CautionKind.LaserNear,
            Volume = volume,
            Fixture = leg.Fixture,
            Emitter = leg.Emitter,
            Bounces = leg.Bounces,
            Point = leg.Origin + (leg.Direction * from),
            PathMetres = path,
            Irradiance = LaserHazard.Irradiance(leg.LitWatts, leg.ApertureMetres, leg.DivergenceRadians, path),
            ExposureRatio = LaserExposure.Ratio(moment, leg, path, limits),
            HazardDistance = leg.Scanner > 0 ? 0 : LaserExposure.HazardDistance(moment, leg, limits),
            IsScanned = leg.Scanner > 0,
        };
    }
}
