using System.Numerics;

namespace StageView.Light.Colour;

/// <summary>Spectra as measured points (nm, relative energy) or in the 10 nm bands of <see cref="CieObserver"/>.</summary>
public static class Spectra
{
    /// <summary>
    /// XYZ of measured points, summed every nanometre with the points and the observer's table taken as linear between; nothing outside the points.
    /// </summary>
    /// <param name="points">By rising wavelength, nm.</param>
    public static Vector3 Xyz(ReadOnlySpan<Vector2> points)
    {
        double x = 0, y = 0, z = 0;
        for (var nm = CieObserver.FirstNanometres; nm <= CieObserver.Nanometres(CieObserver.Count - 1); nm++)
        {
            var e = At(points, nm);
            var row = CieObserver.At(nm);
            (x, y, z) = (x + (e * row.X), y + (e * row.Y), z + (e * row.Z));
        }

        return new Vector3((float)x, (float)y, (float)z);
    }

    /// <summary>XYZ of a spectrum in bands.</summary>
    public static Vector3 XyzOfBands(ReadOnlySpan<float> bands)
    {
        double x = 0, y = 0, z = 0;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            var row = CieObserver.Row(i);
            (x, y, z) = (x + ((double)bands[i] * row.X), y + ((double)bands[i] * row.Y), z + ((double)bands[i] * row.Z));
        }

        return new Vector3((float)x, (float)y, (float)z);
    }

    /// <summary>Mean energy of each band, 5 nm to either side of its centre.</summary>
    public static float[] Bands(ReadOnlySpan<Vector2> points)
    {
        var bands = new float[CieObserver.Count];
        for (var i = 0; i < bands.Length; i++)
        {
            for (var k = -5; k <= 5; k++)
            {
                bands[i] += At(points, CieObserver.Nanometres(i) + k) * (k is -5 or 5 ? .05f : .1f);
            }
        }

        return bands;
    }

    /// <summary>Black-body light in bands, 1 at 560 nm.</summary>
    public static float[] PlanckianBands(float kelvin) =>
        [.. Enumerable.Range(0, CieObserver.Count).Select(i => (float)Planckian.Spectrum(kelvin, CieObserver.Nanometres(i)))];

    private static float At(ReadOnlySpan<Vector2> points, float nanometres)
    {
        if (points.IsEmpty || nanometres < points[0].X || nanometres > points[^1].X)
        {
            return 0;
        }

        int low = 0, high = points.Length - 1;
        while (high - low > 1)
        {
            var middle = (low + high) / 2;
            (low, high) = points[middle].X <= nanometres ? (middle, high) : (low, middle);
        }

        var span = points[high].X - points[low].X;
        return span <= 0 ? points[high].Y : float.Lerp(points[low].Y, points[high].Y, (nanometres - points[low].X) / span);
    }
}
