using StageView.Snapshot.Images;

namespace StageView.Snapshot.Tests.Planted;

/// <summary>The planted changes and the planted noise, on a stage drawn with plain arithmetic. Seeded: the same each time.</summary>
internal static class PlantedPairs
{
    public const int Width = 640;
    public const int Height = 360;

    private static readonly Lazy<PlantedPair[]> _all = new(() => [.. Make()]);

    public static IReadOnlyList<PlantedPair> All() => _all.Value;

    private static IEnumerable<PlantedPair> Make()
    {
        yield return Change("a beam of 4 levels on black", Black(), Draw(Blank(), (x, y, v) => v + (4 * Cone(x, y, 320, 100))));
        yield return Change("a beam of 4 levels, noise of 1 level in both", Noise(Stage(0, 0), 1, 1),
            Noise(Plus(Stage(0, 0), (x, y) => 4 * Cone(x, y, 150, 90)), 1, 2));
        yield return Change("a wide beam of 2 levels", Black(), Draw(Blank(), (x, y, v) => v + (2 * Cone(x, y, 320, 220))));
        yield return Change("one pixel at full", Stage(0, 0), OnePixel(Stage(0, 0)));
        yield return Change("a shift of 1 pixel", Stage(0, 0), Stage(1, 0));
        yield return Change("a shift of 1 pixel down", Stage(0, 0), Stage(0, 1));
        yield return Change("a hue swing at equal lightness", Tinted(0.0), Tinted(0.35));
        yield return Change("a dim haze glow moved", Glow(250), Glow(330));
        yield return Change("a dark grey of 24 over a tenth", Black(), Draw(Blank(), (x, y, v) => x < 64 ? 24 : v));
        yield return Change("a beam a pixel wider on both sides", Beamed(60), Beamed(62));
        yield return Change("a one-pixel laser line moved by one", Line(200), Line(201));
        yield return Change("a fine checker turned over", Checker(0), Checker(1));
        foreach (var pair in FaintPairs.Make())
        {
            yield return pair;
        }

        yield return Pass("noise of 1 level", Noise(Stage(0, 0), 1, 1), Noise(Stage(0, 0), 1, 2));
        yield return Pass("noise of 1 level on black", Noise(Black(), 1, 3), Noise(Black(), 1, 4));
        yield return Pass("a dither of 1 step", Dithered(5), Dithered(6));
        yield return Pass("edges jittered by up to half a pixel, smoothed", Edged(7, 0.5, smooth: true), Edged(8, 0.5, smooth: true));
        yield return Pass("edges jittered by one pixel, hard", Edged(9, 1, smooth: false), Edged(0, 0, smooth: false));
        yield return Pass("a whole level of rounding", Stage(0, 0), Plus(Stage(0, 0), (_, _) => 1));
    }

    /// <summary>A dark stage: floor slope, three cones with soft edges, a bright wall of small pixels, hard-edged scenery.</summary>
    public static FrameImage Stage(int dx, int dy) => Draw(Blank(), (u, v, _) =>
    {
        var (x, y) = (u - dx, v - dy);
        var light = y > 250 ? 6 + ((y - 250) * 0.08) : 1.5;
        light += (90 * Cone(x, y, 200, 60)) + (140 * Cone(x, y, 420, 40)) + (12 * Cone(x, y, 330, 120));
        if (x is >= 260 and < 380 && y is >= 150 and < 200)
        {
            light = 40 + (30 * (((x / 6) + (y / 6)) & 1));
        }

        return x is >= 500 and < 560 && y is >= 200 and < 300 ? 30 : light;
    });

    public static FrameImage Noise(FrameImage image, int levels, int seed)
    {
        var random = new Random(seed);
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            if ((i & 3) != 3)
            {
                image.Rgba[i] = (byte)Math.Clamp(image.Rgba[i] + random.Next(-levels, levels + 1), 0, 255);
            }
        }

        return image;
    }

    public static FrameImage Black() => Blank();

    private static PlantedPair Change(string name, FrameImage before, FrameImage after) => new(name, true, before, after);

    private static PlantedPair Pass(string name, FrameImage before, FrameImage after) => new(name, false, before, after);

    private static FrameImage Blank() => new(Width, Height);

    private static FrameImage Draw(FrameImage image, Func<int, int, double, double> light)
    {
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var value = (byte)Math.Clamp(Math.Round(light(x, y, image.At(x, y)[0])), 0, 255);
                image.Set(x, y, value, value, value);
            }
        }

        return image;
    }

    private static FrameImage Plus(FrameImage image, Func<int, int, double> more) => Draw(image, (x, y, v) => v + more(x, y));

    /// <summary>A cone from above with its apex at the top edge: 1 inside, a soft rim of two pixels, 0 outside.</summary>
    private static double Cone(int x, int y, double apex, double spread) =>
        Math.Clamp(((((y + 20.0) / Height) * spread) - Math.Abs(x - apex)) / 2, 0, 1);

    private static FrameImage OnePixel(FrameImage image)
    {
        image.Set(77, 301, 255, 255, 255);
        return image;
    }

    private static FrameImage Beamed(double spread) => Draw(Blank(), (x, _, _) => 3 + (120 * Math.Clamp((spread / 2) + 0.5 - Math.Abs(x - 320), 0, 1)));

    private static FrameImage Line(int at) => Draw(Blank(), (x, _, _) => x == at ? 180 : 2);

    private static FrameImage Checker(int phase) => Draw(Blank(), (x, y, _) => x < 320 ? 5 : ((x + y + phase) & 1) * 80);

    private static FrameImage Glow(double centre) => Draw(Blank(), (x, y, _) =>
        1 + (5 * Math.Exp(-(Math.Pow(x - centre, 2) + Math.Pow(y - 140, 2)) / (2 * 70 * 70))));

    /// <summary>A gradient of exact light, rounded with a random threshold for each pixel.</summary>
    private static FrameImage Dithered(int seed)
    {
        var random = new Random(seed);
        return Draw(Blank(), (x, y, _) => Math.Floor((x * 0.05) + (y * 0.03) + random.NextDouble()));
    }

    private static FrameImage Edged(int seed, double most, bool smooth)
    {
        var random = new Random(seed);
        var image = Blank();
        for (var y = 0; y < Height; y++)
        {
            double Jitter() => most == 0 ? 0 : smooth ? ((random.NextDouble() * 2) - 1) * most : random.Next(-1, 2);
            var (left, right) = (180 + (y * 0.31) + Jitter(), 400 + Jitter());
            for (var x = 0; x < Width; x++)
            {
                var cover = Math.Clamp(x + 0.5 - left, -0.5, 0.5) + Math.Clamp(right - x - 0.5, -0.5, 0.5);
                cover = smooth ? Math.Clamp(cover, 0, 1) : x >= Math.Round(left) && x < Math.Round(right) ? 1 : 0;
                var value = (byte)Math.Round(4 + (160 * cover));
                image.Set(x, y, value, value, value);
            }
        }

        return image;
    }

    /// <summary>A wash of OKLab lightness 0.45 and chroma 0.06, its hue turned by <paramref name="turns"/> of a circle.</summary>
    private static FrameImage Tinted(double turns)
    {
        var (r, g, b) = FromOkLab(0.45, 0.06 * Math.Cos(2 * Math.PI * turns), 0.06 * Math.Sin(2 * Math.PI * turns));
        var image = Stage(0, 0);
        for (var y = 60; y < 120; y++)
        {
            for (var x = 40; x < 110; x++)
            {
                image.Set(x, y, r, g, b);
            }
        }

        return image;
    }

    /// <summary>OKLab to sRGB (Ottosson 2020), written apart from the code under test.</summary>
    internal static (byte R, byte G, byte B) FromOkLab(double lightness, double a, double b)
    {
        var l = Math.Pow(lightness + (0.3963377774 * a) + (0.2158037573 * b), 3);
        var m = Math.Pow(lightness - (0.1055613458 * a) - (0.0638541728 * b), 3);
        var s = Math.Pow(lightness - (0.0894841775 * a) - (1.2914855480 * b), 3);
        return (
            Encode((4.0767416621 * l) - (3.3077115913 * m) + (0.2309699292 * s)),
            Encode((-1.2684380046 * l) + (2.6097574011 * m) - (0.3413193965 * s)),
            Encode((-0.0041960863 * l) - (0.7034186147 * m) + (1.7076147010 * s)));
    }

    private static byte Encode(double light) =>
        (byte)Math.Round(255 * (light <= 0.0031308 ? 12.92 * light : (1.055 * Math.Pow(light, 1 / 2.4)) - 0.055));
}
