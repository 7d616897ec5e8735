namespace StageView.Light.Photometry;

/// <summary>Lumens out of candelas.</summary>
public static class WebIntegration
{
    /// <summary>
    /// Lumens between two polar angles, by exact integration of the interpolation that <see cref="WebSampling"/> uses: linear in
    /// azimuth (so the mean over azimuth is the trapezoid rule) and linear in the polar angle, where
    /// ∫ (I0 + b(θ-θ0)) sin θ dθ has a closed form.
    /// </summary>
    public static double Lumens(PhotometricWeb web, double fromRadians, double toRadians)
    {
        ArgumentNullException.ThrowIfNull(web);
        var p = web.PolarRadians;
        double sum = 0;
        for (var i = 0; i + 1 < p.Length; i++)
        {
            var (a, b) = (Math.Max(p[i], fromRadians), Math.Min(p[i + 1], toRadians));
            if (b <= a)
            {
                continue;
            }

            double i0 = MeanOverAzimuth(web, i), i1 = MeanOverAzimuth(web, i + 1);
            var slope = (i1 - i0) / (p[i + 1] - p[i]);
            // ∫ sin θ = -cos θ; ∫ (θ - θ0) sin θ = sin θ - (θ - θ0) cos θ.
            sum += i0 * (Math.Cos(a) - Math.Cos(b));
            sum += slope * (Math.Sin(b) - ((b - p[i]) * Math.Cos(b)) - Math.Sin(a) + ((a - p[i]) * Math.Cos(a)));
        }

        return Math.Tau * sum * web.PeakCandela;
    }

    /// <summary>Lumens in zones of equal width from the axis on, exactly integrated.</summary>
    public static double[] Zones(PhotometricWeb web, int zones)
    {
        var result = new double[zones];
        for (var i = 0; i < zones; i++)
        {
            result[i] = Lumens(web, Math.PI * i / zones, Math.PI * (i + 1) / zones);
        }

        return result;
    }

    /// <summary>
    /// Lumens by the zonal method of the IES Lighting Handbook: intensity at the middle of each zone times the zone's solid angle
    /// (<see cref="ZonalConstant"/>). Differs a little from the exact integral.
    /// </summary>
    public static double ByZonalConstants(PhotometricWeb web, double zoneDegrees)
    {
        ArgumentNullException.ThrowIfNull(web);
        double sum = 0;
        var zones = (int)Math.Round(180 / zoneDegrees);
        for (var i = 0; i < zones; i++)
        {
            var middle = (i + 0.5) * zoneDegrees * Math.PI / 180;
            double mean = 0;
            for (var j = 0; j < web.AzimuthRadians.Length; j++)
            {
                mean += web.At(middle, web.AzimuthRadians[j]) * AzimuthShare(web, j);
            }

            sum += mean * ZonalConstant(i * zoneDegrees, (i + 1) * zoneDegrees);
        }

        return sum * web.PeakCandela;
    }

    /// <summary>Solid angle between two cones about the same axis, 2π(cos a - cos b), sr.</summary>
    public static double ZonalConstant(double fromDegrees, double toDegrees) =>
        Math.Tau * (Math.Cos(fromDegrees * Math.PI / 180) - Math.Cos(toDegrees * Math.PI / 180));

    internal static double MeanOverAzimuth(PhotometricWeb web, int polar)
    {
        double mean = 0;
        for (var j = 0; j < web.AzimuthRadians.Length; j++)
        {
            mean += web.Relative[(j * web.PolarRadians.Length) + polar] * AzimuthShare(web, j);
        }

        return mean;
    }

    /// <summary>The share of the full turn nearest to one azimuth: trapezoid weights of a periodic function.</summary>
    private static double AzimuthShare(PhotometricWeb web, int j)
    {
        var a = web.AzimuthRadians;
        if (a.Length == 1)
        {
            return 1;
        }

        var before = j == 0 ? a[^1] - Math.Tau : a[j - 1];
        var after = j == a.Length - 1 ? a[0] + Math.Tau : a[j + 1];
        return (after - before) / 2 / Math.Tau;
    }
}
