namespace StageView.Light.Photometry;

/// <summary>Reading a <see cref="PhotometricWeb"/> between its angles.</summary>
public static class WebSampling
{
    /// <summary>
    /// Relative intensity by bilinear interpolation in the two angles; 0 beyond the last polar angle. Azimuth runs round.
    /// </summary>
    /// <param name="web">The web.</param>
    /// <param name="polar">Angle off the web's own axis, rad, 0 to π.</param>
    /// <param name="azimuth">rad, any turn.</param>
    public static double At(this PhotometricWeb web, double polar, double azimuth)
    {
        ArgumentNullException.ThrowIfNull(web);
        var p = web.PolarRadians;
        if (polar > p[^1] + 1e-6 || polar < p[0] - 1e-6)
        {
            return 0;
        }

        var i = Below(p, polar);
        var fi = i + 1 < p.Length ? Math.Clamp((polar - p[i]) / (p[i + 1] - p[i]), 0, 1) : 0;
        var a = web.AzimuthRadians;
        if (a.Length == 1)
        {
            return Row(web, 0, i, fi);
        }

        var turned = azimuth - (Math.Floor(azimuth / Math.Tau) * Math.Tau);
        var j = Below(a, turned);
        var next = (j + 1) % a.Length;
        double from = a[j];
        double to = next == 0 ? a[0] + Math.Tau : a[next];
        if (turned < a[0])
        {
            (j, next, from, to) = (a.Length - 1, 0, a[^1] - Math.Tau, a[0]);
        }

        var fj = Math.Clamp((turned - from) / (to - from), 0, 1);
        return ((1 - fj) * Row(web, j, i, fi)) + (fj * Row(web, next, i, fi));
    }

    private static double Row(PhotometricWeb web, int azimuth, int polar, double share)
    {
        var at = (azimuth * web.PolarRadians.Length) + polar;
        var low = web.Relative[at];
        return share == 0 ? low : low + (share * (web.Relative[at + 1] - low));
    }

    private static int Below(float[] angles, double angle)
    {
        var (low, high) = (0, angles.Length - 1);
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            if (angles[middle] <= angle)
            {
                low = middle;
            }
            else
            {
                high = middle - 1;
            }
        }

        return low;
    }
}
