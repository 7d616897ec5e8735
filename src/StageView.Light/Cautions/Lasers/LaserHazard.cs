using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Lasers;

/// <summary>
/// Irradiance of laser beams that stand still, and the distances inside which it exceeds an exposure limit: direct, after mirrors, after a matt surface.
/// Figures to talk
/// over with the laser safety officer; never a finding that something is safe. Scanned beams: <see cref="ScanExposure"/>.
/// </summary>
public static class LaserHazard
{
    /// <summary>Time of the aversion response taken for visible light, s (IEC 60825-1:2014, 4.3 e).</summary>
    public const double AversionSeconds = VisibleExposure.AversionSeconds;

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

    /// <summary>Visible maximum permissible exposure for a single exposure of t seconds, W/m² (see <see cref="VisibleExposure"/>).</summary>
    /// <param name="seconds">5 µs to 10 s.</param>
    public static double VisibleLimit(double seconds) => VisibleExposure.Irradiance(seconds);

    /// <summary>
    /// Nominal hazard distance, m: (√(4P / (π·limit)) - a) / φ; 0 when the aperture itself is below the limit, infinite without divergence (ANSI Z136.1,
    /// IEC 60825-14).
    /// </summary>
    public static double NominalHazardDistance(double watts, double aperture, double divergence, double limit)
    {
        var free = Math.Sqrt(4 * watts / (Math.PI * limit)) - aperture;
        return free <= 0 ? 0 : divergence <= 0 ? double.PositiveInfinity : free / divergence;
    }

    /// <summary>
    /// How far along a leg the irradiance exceeds the limit, m from the leg's start: the nominal hazard distance of the power left after the mirrors, less
    /// the way already
    /// travelled (a flat mirror doesn't change the divergence); 0 to the leg's length.
    /// </summary>
    public static double HazardAlong(in LaserBeam leg, double limit) =>
        Math.Clamp(NominalHazardDistance(leg.PowerWatts, leg.ApertureMetres, leg.DivergenceRadians, limit) - leg.PathBefore, 0, leg.Length);

    /// <summary>
    /// Distance from a matt surface inside which the light of a laser's spot on it exceeds the limit, m: r = √(ρ P cos θ / (π·limit)) (Lambert's law: E = ρ
    /// P cos θ / (π r²);
    /// ANSI Z136.1, hazard of diffuse reflections). The spot is taken as a point source, on the cautious side.
    /// </summary>
    /// <param name="watts">P, W at the surface.</param>
    /// <param name="reflectance">ρ, 0 to 1.</param>
    /// <param name="cosine">cos θ of the look against the surface's normal; 1 looks straight at it.</param>
    /// <param name="limit">W/m².</param>
    public static double DiffuseHazardDistance(double watts, double reflectance, double cosine, double limit) =>
        Math.Sqrt(Math.Max(0, reflectance * watts * cosine) / (Math.PI * limit));

    /// <summary>
    /// The least height of a leg over the floor of a volume, m, where it passes over the volume; false when it passes beside it. Common practice, no source
    /// of one code:
    /// 3 m and more over any place where people may stand is asked for (US variances from 21 CFR 1040.11(c), as others cite them). Exact for upright volumes.
    /// </summary>
    public static bool HeightOver(in LaserBeam leg, WatchedVolume volume, out float metres)
    {
        ArgumentNullException.ThrowIfNull(volume);
        metres = 0;
        var tall = volume with { Size = volume.Size with { Z = 2000 } };
        if (!tall.Crossing(leg.Origin, leg.Direction, leg.Length, 0, out var from, out var to))
        {
            return false;
        }

        var floor = Solid.Box(volume).Bottom;
        metres = MathF.Min(leg.Origin.Z + (leg.Direction.Z * from), leg.Origin.Z + (leg.Direction.Z * to)) - floor;
        return true;
    }
}
