using StageView.Snapshot.Images;

namespace StageView.Snapshot.Tests.Planted;

/// <summary>Changes that no pixel shows: faint, but wide. Each is drawn in exact light, then rounded, most of them with noise in both.</summary>
internal static class FaintPairs
{
    public static IEnumerable<PlantedPair> Make()
    {
        yield return Change("a wash of 1 level over a third", Draw(Dark), Draw((x, y) => Dark(x, y) + Wash(x, y)));
        yield return Change("a wash of 1 level over a third, noise of 1 level in both", Noisy(Dark, 1), Noisy((x, y) => Dark(x, y) + Wash(x, y), 2));
        yield return Change("a wash of 2 levels over a third, noise of 1 level in both", Noisy(Dark, 3),
            Noisy((x, y) => Dark(x, y) + (2 * Wash(x, y)), 4)) with
        { IsSeen = true };
        yield return Change("2 % more on a dark picture", Draw(Dark), Draw((x, y) => 1.02 * Dark(x, y)));
        yield return Change("2 % more on a dark picture, noise of 1 level in both", Noisy(Dark, 5), Noisy((x, y) => 1.02 * Dark(x, y), 6));
        yield return Change("a soft beam moved by 2 pixels", Draw((x, y) => Dark(x, y) + Soft(x, 300)), Draw((x, y) => Dark(x, y) + Soft(x, 302)));
        yield return Change("a soft beam moved by 2 pixels, noise of 1 level in both", Noisy((x, y) => Dark(x, y) + Soft(x, 300), 7),
            Noisy((x, y) => Dark(x, y) + Soft(x, 302), 8));
        yield return Change("3 degrees of hue", Hued(0, null), Hued(3, null));
        yield return Change("3 degrees of hue, noise of 1 level in both", Hued(0, 9), Hued(3, 10));
        yield return Pass("noise of 2 levels in one", Draw(Dark), PlantedPairs.Noise(Draw(Dark), 2, 11));
        yield return Pass("noise of 2 levels in one, on black", PlantedPairs.Black(), PlantedPairs.Noise(PlantedPairs.Black(), 2, 12)) with { IsSeen = null };
        yield return Pass("an ordered dither of 1 step, moved", Ordered(0), Ordered(1));
    }

    /// <summary>A dark stage: two soft cones of 50 and 35 levels, a floor that rises from 3 to 20.</summary>
    internal static double Dark(int x, int y) =>
        3 + (17.0 * Math.Max(0, y - 200) / 160) + (50 * Bell(x - 180, 30 + (y * 0.1))) + (35 * Bell(x - 430, 20 + (y * 0.15)));

    internal static FrameImage Draw(Func<int, int, double> light)
    {
        var image = PlantedPairs.Black();
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var value = (byte)Math.Clamp(Math.Round(light(x, y)), 0, 255);
                image.Set(x, y, value, value, value);
            }
        }

        return image;
    }

    private static FrameImage Noisy(Func<int, int, double> light, int seed) => PlantedPairs.Noise(Draw(light), 1, seed);

    private static double Wash(int x, int y) => Math.Clamp((150 - Math.Sqrt(Math.Pow(x - 420, 2) + Math.Pow(y - 180, 2))) / 20, 0, 1);

    /// <summary>A vertical beam of 9 levels, 20 pixels to where it is 0.6 of it.</summary>
    private static double Soft(int x, double centre) => 9 * Bell(x - centre, 20);

    private static double Bell(double off, double width) => Math.Exp(-off * off / (2 * width * width));

    private static FrameImage Hued(double degrees, int? seed)
    {
        var image = Draw(Dark);
        var (r, g, b) = PlantedPairs.FromOkLab(0.35, 0.07 * Math.Cos((40 + degrees) * Math.PI / 180), 0.07 * Math.Sin((40 + degrees) * Math.PI / 180));
        for (var y = 60; y < 220; y++)
        {
            for (var x = 250; x < 410; x++)
            {
                image.Set(x, y, r, g, b);
            }
        }

        return seed is { } s ? PlantedPairs.Noise(image, 1, s) : image;
    }

    /// <summary>A gradient rounded by a Bayer matrix of 4×4, whose place is another.</summary>
    private static FrameImage Ordered(int at)
    {
        int[] bayer = [0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5];
        return Draw((x, y) => Math.Floor((x * 0.05) + (y * 0.03) + ((bayer[(4 * ((y + at) & 3)) + ((x + at) & 3)] + 0.5) / 16)));
    }

    private static PlantedPair Change(string name, FrameImage before, FrameImage after) => new(name, true, before, after) { IsSeen = null };

    private static PlantedPair Pass(string name, FrameImage before, FrameImage after) => new(name, false, before, after);
}
