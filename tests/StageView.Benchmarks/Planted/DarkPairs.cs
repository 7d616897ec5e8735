using StageView.Snapshot.Images;

namespace StageView.Benchmarks.Planted;

/// <summary>Two dark pictures and what was done to the second; null where that is noise alone.</summary>
internal sealed record DarkPair(string? Change, string Noise, FrameImage Before, FrameImage After);

/// <summary>
/// Fifty pairs of dark stages, seeded: half of them changed faintly, half only noisy. Five kinds of change and five of noise, each over five stages of which no
/// two are alike.
/// </summary>
internal static class DarkPairs
{
    private const int Width = 480;
    private const int Height = 270;

    private static readonly string[] _changes = ["a wash of 1.5 levels", "2 % more", "a soft beam moved by 2 pixels", "3 degrees of hue", "a glow of 2 levels"];
    private static readonly string[] _noises = ["none", "1 level in both", "2 levels in the second", "a dither of 1 step", "normal noise of 0.6 in both"];

    public static IEnumerable<DarkPair> All()
    {
        for (var i = 0; i < 50; i++)
        {
            var change = i < 25 ? i % 5 : -1;

            // Without a change and without noise there would be nothing to pass.
            var noise = i < 25 ? i / 5 : 1 + (i % 4);
            var stage = new Stage(i);
            yield return new DarkPair(change < 0 ? null : _changes[change], _noises[noise], Draw(stage, -1, noise, 2 * i), Draw(stage, change, noise, (2 * i) + 1));
        }
    }

    private static FrameImage Draw(Stage stage, int change, int noise, int seed)
    {
        var image = new FrameImage(Width, Height);
        var random = new Random(seed);
        for (var y = 0; y < Height; y++)
        {
            for (var x = 0; x < Width; x++)
            {
                var (r, g, b) = stage.At(x, y, change);
                image.Set(x, y, Round(r), Round(g), Round(b));
            }
        }

        return image;

        byte Round(double level)
        {
            var whole = noise == 3 ? Math.Floor(level + random.NextDouble()) : Math.Round(level + (noise == 4 ? 0.6 * Normal(random) : 0));
            var by = noise == 1 ? random.Next(-1, 2) : noise == 2 && (seed & 1) == 1 ? random.Next(-2, 3) : 0;
            return (byte)Math.Clamp(whole + by, 0, 255);
        }
    }

    /// <summary>Box and Muller (1958).</summary>
    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>A stage of 10 to 50 levels: three soft cones of a colour each over a floor.</summary>
    private sealed class Stage
    {
        private readonly (double X, double Width, double Level, double Hue)[] _cones;
        private readonly double _floor;

        public Stage(int seed)
        {
            var random = new Random(1000 + seed);
            _cones = [.. Enumerable.Range(0, 3).Select(i => (60 + (160.0 * i) + (60 * random.NextDouble()), 18 + (25 * random.NextDouble()),
                10 + (40 * random.NextDouble()), 2 * Math.PI * random.NextDouble()))];
            _floor = 4 + (10 * random.NextDouble());
        }

        public (double R, double G, double B) At(int x, int y, int change)
        {
            var floor = 3 + (_floor * Math.Max(0, y - 180) / 90);
            var (r, g, b) = (floor, floor, floor);
            for (var i = 0; i < _cones.Length; i++)
            {
                var (at, width, level, hue) = _cones[i];
                var off = (x - at - (change == 2 && i == 1 ? 2 : 0)) / (width + (y * 0.06));
                var light = level * Math.Exp(-off * off / 2);
                hue += change == 3 ? 3 * Math.PI / 180 : 0;
                r += light * (0.6 + (0.4 * Math.Cos(hue)));
                g += light * (0.6 + (0.4 * Math.Cos(hue - (2 * Math.PI / 3))));
                b += light * (0.6 + (0.4 * Math.Cos(hue + (2 * Math.PI / 3))));
            }

            var more = change == 0 ? 1.5 * Math.Clamp((130 - Math.Sqrt(Math.Pow(x - 300, 2) + Math.Pow(y - 130, 2))) / 15, 0, 1)
                : change == 4 ? 2 * Math.Exp(-(Math.Pow(x - 150, 2) + Math.Pow(y - 110, 2)) / 5000) : 0;
            var scale = change == 1 ? 1.02 : 1;
            return ((r * scale) + more, (g * scale) + more, (b * scale) + more);
        }
    }
}
