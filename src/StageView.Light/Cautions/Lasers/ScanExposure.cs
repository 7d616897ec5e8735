using System.Numerics;
using StageView.Light.Scans;

namespace StageView.Light.Cautions.Lasers;

/// <summary>What a scanned beam does to an eye at a place.</summary>
/// <param name="DwellSeconds">Longest single pass, s.</param>
/// <param name="Duty">Share of the time that the place is lit.</param>
/// <param name="PassesPerSecond">1/s.</param>
/// <param name="Irradiance">While it is lit, averaged over the pupil, W/m².</param>
/// <param name="Ratio">Exposure over limit.</param>
public readonly record struct ScanExposure(double DwellSeconds, double Duty, double PassesPerSecond, double Irradiance, ExposureRatio Ratio)
{
    /// <summary>The farthest hazard distance looked for, m.</summary>
    public const double FarLimit = 1e5;

    /// <summary>
    /// The exposure in a direction of the scan at a distance. The beam is evenly bright; it counts as on the eye while its middle is within half its
    /// diameter, or half
    /// the pupil's where that is larger.
    /// </summary>
    /// <param name="scan">The figure.</param>
    /// <param name="laser">The beam.</param>
    /// <param name="direction">rad right and up of the scan's middle.</param>
    /// <param name="metres">Along the whole way, mirrors included, above 0.</param>
    /// <param name="exposureSeconds">s.</param>
    /// <param name="pupilMetres">m.</param>
    public static ScanExposure At(
        LaserScan scan,
        in LaserSource laser,
        Vector2 direction,
        double metres,
        double exposureSeconds = VisibleExposure.AversionSeconds,
        double pupilMetres = VisibleExposure.PupilMetres)
    {
        ArgumentNullException.ThrowIfNull(scan);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(metres);
        var passes = scan.Passes(direction, Math.Max(laser.DiameterAt(metres), pupilMetres) / 2 / metres);
        if (passes.Count == 0)
        {
            return default;
        }

        var irradiance = laser.EffectiveIrradiance(metres, pupilMetres);
        var worst = default(ExposureRatio);
        // An eye may be met first by any of the passes.
        for (var first = 0; first < Math.Min(passes.Count, 16); first++)
        {
            var ratio = PulseTrain.Compare(Train(passes, first, scan.FrameSeconds, irradiance, exposureSeconds), exposureSeconds);
            worst = ratio.Worst > worst.Worst ? ratio : worst;
        }

        return new ScanExposure(passes.Max(p => p.Seconds), passes.Sum(p => p.Seconds) / scan.FrameSeconds, passes.Count / scan.FrameSeconds, irradiance,
            worst);
    }

    /// <summary>
    /// The distance inside which the exposure exceeds the limit, m; 0 when nowhere, <see cref="FarLimit"/> when farther. In one direction, or the worst of
    /// the figure: asked at
    /// its samples and half a beam's width inside the ends of its strokes, where the beam comes back before it has left.
    /// </summary>
    public static double HazardDistance(
        LaserScan scan,
        in LaserSource laser,
        Vector2? direction = null,
        double exposureSeconds = VisibleExposure.AversionSeconds,
        double pupilMetres = VisibleExposure.PupilMetres)
    {
        ArgumentNullException.ThrowIfNull(scan);
        var (low, high) = (0.1, FarLimit);
        if (!Exceeds(scan, laser, direction, low, exposureSeconds, pupilMetres))
        {
            return 0;
        }

        if (Exceeds(scan, laser, direction, high, exposureSeconds, pupilMetres))
        {
            return high;
        }

        while (high / low > 1.0005)
        {
            var middle = Math.Sqrt(low * high);
            (low, high) = Exceeds(scan, laser, direction, middle, exposureSeconds, pupilMetres) ? (middle, high) : (low, middle);
        }

        return high;
    }

    private static bool Exceeds(LaserScan scan, in LaserSource laser, Vector2? direction, double metres, double exposure, double pupil)
    {
        if (direction is { } one)
        {
            return At(scan, laser, one, metres, exposure, pupil).Ratio.Worst > 1;
        }

        var inside = (float)(Math.Max(laser.DiameterAt(metres), pupil) / 2 / metres);
        for (var i = 0; i < scan.Points.Count; i++)
        {
            var p = scan.Points[i];
            if (p.Share <= 0)
            {
                continue;
            }

            var from = scan.Points[(i + scan.Points.Count - 1) % scan.Points.Count].Direction;
            var stroke = p.Direction - from;
            var length = stroke.Length();
            var step = length > 0 ? stroke * (inside / length) : Vector2.Zero;
            if (At(scan, laser, p.Direction, metres, exposure, pupil).Ratio.Worst > 1
                || (length > 0 && (At(scan, laser, p.Direction - step, metres, exposure, pupil).Ratio.Worst > 1
                    || At(scan, laser, from + step, metres, exposure, pupil).Ratio.Worst > 1)))
            {
                return true;
            }
        }

        return false;
    }

    private static List<Pulse> Train(IReadOnlyList<ScanPass> passes, int first, double frame, double irradiance, double exposure)
    {
        var pulses = new List<Pulse>();
        var begin = passes[first].Start;
        for (var n = 0; n * frame <= exposure + frame && pulses.Count < 100_000; n++)
        {
            for (var k = 0; k < passes.Count; k++)
            {
                var pass = passes[(first + k) % passes.Count];
                var start = pass.Start + ((n + (first + k >= passes.Count ? 1 : 0)) * frame) - begin;
                if (start < exposure)
                {
                    pulses.Add(new Pulse(start, pass.Seconds, irradiance * pass.Seconds * pass.Share));
                }
            }
        }

        return pulses;
    }
}
