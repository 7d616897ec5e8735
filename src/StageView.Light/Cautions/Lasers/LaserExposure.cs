using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;
using StageView.Light.Scans;

namespace StageView.Light.Cautions.Lasers;

/// <summary>Exposure by a leg of a moment as what it is: a beam that stands still, or a place of a scanned figure.</summary>
public static class LaserExposure
{
    /// <summary>Exposure over its limit at a distance; above 1 beyond it.</summary>
    /// <param name="moment">The moment that the leg is of.</param>
    /// <param name="leg">The leg.</param>
    /// <param name="metres">Along the whole way, mirrors included.</param>
    /// <param name="limits">Exposure time and pupil.</param>
    public static double Ratio(Moment moment, in LaserBeam leg, double metres, CautionLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        var source = LaserSource.Of(leg);
        return ScanOf(moment, leg) is { } scan
            ? ScanExposure.At(scan, source, leg.ScanDirection, Math.Max(metres, 1e-3), limits.ExposureSeconds, limits.PupilMetres).Ratio.Worst
            : source.EffectiveIrradiance(metres, limits.PupilMetres) / VisibleExposure.Irradiance(limits.ExposureSeconds);
    }

    /// <summary>Distance along the whole way inside which the exposure exceeds its limit, m, with the power that mirrors have left.</summary>
    public static double HazardDistance(Moment moment, in LaserBeam leg, CautionLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        var source = LaserSource.Of(leg);
        return ScanOf(moment, leg) is { } scan
            ? ScanExposure.HazardDistance(scan, source, leg.ScanDirection, limits.ExposureSeconds, limits.PupilMetres)
            : StillHazardDistance(source, limits);
    }

    /// <summary>The same of a beam that stands still, or of a scanner that has stopped.</summary>
    public static double StillHazardDistance(in LaserSource source, CautionLimits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        return LaserHazard.NominalHazardDistance(source.Watts, source.ApertureMetres, source.DivergenceRadians,
            VisibleExposure.Irradiance(limits.ExposureSeconds));
    }

    /// <summary>The figure that a leg is a part of, or null.</summary>
    public static LaserScan? ScanOf(Moment moment, in LaserBeam leg)
    {
        ArgumentNullException.ThrowIfNull(moment);
        return leg.Scanner > 0 ? moment.Scans[moment.Scanners.Span[leg.Scanner - 1].Scan - 1] : null;
    }
}
