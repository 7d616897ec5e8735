using System.Numerics;

namespace StageView.Light.Colour;

/// <summary>Black-body light.</summary>
public static class Planckian
{
    /// <summary>
    /// Chromaticity on the Planckian locus, 1667 to 25000 K (clamped): the cubic fits of Kang, Moon, Hong et al.,
    /// "Design of advanced color temperature control system for HDTV applications", J. Korean Phys. Soc. 41 (2002).
    /// </summary>
    public static Vector2 Locus(float kelvin)
    {
        double t = Math.Clamp(kelvin, 1667f, 25000f);
        double i = 1000 / t, x, y;
        x = t <= 4000
            ? (-.2661239 * i * i * i) - (.2343589 * i * i) + (.8776956 * i) + .179910
            : (-3.0258469 * i * i * i) + (2.1070379 * i * i) + (.2226347 * i) + .240390;
        y = t <= 2222 ? (-1.1063814 * x * x * x) - (1.34811020 * x * x) + (2.18555832 * x) - .20219683
            : t <= 4000 ? (-.9549476 * x * x * x) - (1.37418593 * x * x) + (2.09137015 * x) - .16748867
            : (3.0817580 * x * x * x) - (5.87338670 * x * x) + (3.75112997 * x) - .37001483;
        return new Vector2((float)x, (float)y);
    }

    /// <summary>Relative spectral radiance at a wavelength (Planck's law, c2 = 14387.769 µm·K), 1 at 560 nm.</summary>
    public static double Spectrum(double kelvin, double nanometres) =>
        Law(kelvin, nanometres) / Law(kelvin, 560);

    private static double Law(double kelvin, double nanometres)
    {
        var micrometres = nanometres * 1e-3;
        return Math.Pow(micrometres, -5) / (Math.Exp(14387.769 / (micrometres * kelvin)) - 1);
    }

    /// <summary>
    /// XYZ with Y = 1 of white light of that temperature, shifted off the locus by <paramref name="duv"/> (CIE 1960 u, v; positive is greenish).
    /// </summary>
    public static Vector3 White(float kelvin, float duv = 0)
    {
        var c = Locus(kelvin);
        if (duv != 0)
        {
            var here = ToUv(c);
            var along = ToUv(Locus(kelvin * 1.01f)) - ToUv(Locus(kelvin / 1.01f));
            var across = Vector2.Normalize(new Vector2(along.Y, -along.X));
            across = across.Y < 0 ? -across : across;
            c = FromUv(here + (across * duv));
        }

        return Chromaticity.ToXyz(c.X, c.Y);
    }

    private static Vector2 ToUv(Vector2 c)
    {
        var d = (-2 * c.X) + (12 * c.Y) + 3;
        return new Vector2(4 * c.X / d, 6 * c.Y / d);
    }

    private static Vector2 FromUv(Vector2 uv)
    {
        var d = (2 * uv.X) - (8 * uv.Y) + 4;
        return new Vector2(3 * uv.X / d, 2 * uv.Y / d);
    }
}
