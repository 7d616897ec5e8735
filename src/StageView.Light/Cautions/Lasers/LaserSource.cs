using StageView.Light.Moments;

namespace StageView.Light.Cautions.Lasers;

/// <summary>A laser's beam as hazard distances need it.</summary>
/// <param name="Watts">Radiant power, W.</param>
/// <param name="ApertureMetres">Diameter at the aperture, m.</param>
/// <param name="DivergenceRadians">Full divergence, rad.</param>
public readonly record struct LaserSource(double Watts, double ApertureMetres, double DivergenceRadians)
{
    /// <summary>The laser of a leg, with what mirrors have left of its power while it is lit.</summary>
    public static LaserSource Of(in LaserBeam leg) => new(leg.LitWatts, leg.ApertureMetres, leg.DivergenceRadians);

    /// <summary>Diameter at a distance along the whole way, m.</summary>
    public double DiameterAt(double metres) => ApertureMetres + (DivergenceRadians * metres);

    /// <summary>
    /// Power through a pupil in the middle of an evenly bright beam, over the pupil's area, W/m²: the irradiance that limits are compared with.
    /// </summary>
    public double EffectiveIrradiance(double metres, double pupilMetres = VisibleExposure.PupilMetres)
    {
        var widest = Math.Max(DiameterAt(metres), pupilMetres);
        return 4 * Watts / (Math.PI * widest * widest);
    }
}
