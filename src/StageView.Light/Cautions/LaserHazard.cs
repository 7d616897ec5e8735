namespace StageView.Light.Cautions;

/// <summary>
/// Irradiance of laser beams and the distance inside which it exceeds an exposure limit. Figures to talk over with the laser
/// safety officer; never a finding that something is safe.
/// </summary>
public static class LaserHazard
{
    /// <summary>Time of the aversion response taken for visible light, s (IEC 60825-1).</summary>
    public const double AversionSeconds = 0.25;

    /// <summary>Irradiance averaged over the beam, W/m²: E = 4P / (π (a + φ r)²) (IEC 60825-14, ANSI Z136.1).</summary>
    /// <param name="watts">P, W.</param>
    /// <param name="aperture">a, beam diameter at the aperture, m.</param>
    /// <param name="divergence">φ, full divergence, rad.</param>
    /// <param name="distance">r, m along the whole path.</param>
    public static double Irradiance(double watts, double aperture, double divergence, double distance)
    {
        var diameter = aperture + (divergence * distance);
        return 4 * watts / (Math.PI * diameter * diameter);
    }

    /// <summary>
    /// Visible maximum permissible exposure for a single exposure of t seconds (18 µs to 10 s), W/m²: 18·t^0.75 J/m² over t, 400 to 700 nm, point
    /// sources. ICNIRP, Health Physics 105(3), 271 (2013), table 5, whose values IEC 60825-1 table A.1 takes over; ANSI Z136.1 table 5 writes the
    /// same as 1.8·t^0.75·10⁻³ J/cm². Read in others' citations of these tables, not in the documents themselves.
    /// </summary>
    public static double VisibleLimit(double seconds) => 18 * Math.Pow(seconds, 0.75) / seconds;

    /// <summary>Nominal hazard distance, m: (√(4P / (π·limit)) - a) / φ; 0 when the aperture itself is below the limit, infinite without divergence.</summary>
    public static double NominalHazardDistance(double watts, double aperture, double divergence, double limit)
    {
        var free = Math.Sqrt(4 * watts / (Math.PI * limit)) - aperture;
        return free <= 0 ? 0 : divergence <= 0 ? double.PositiveInfinity : free / divergence;
    }
}
