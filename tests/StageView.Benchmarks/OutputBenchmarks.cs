using System.Diagnostics;
using System.Numerics;
using SkiaSharp;
using StageView.Render.Output;

namespace StageView.Benchmarks;

/// <summary>Writing pictures: what a frame costs after it is drawn.</summary>
public static class OutputBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        var light = Glow(1280, 720);
        var tone = new ToneCurve(7);
        var shown = light.Develop(tone);
        var fast = Median(() => PngPicture.Encode(shown));
        var usual = Median(() => Usual(shown));
        yield return new Figure("output.png.720p", fast, "ms", "SkiaSharp's default settings", fast / usual);
        yield return new Figure("output.png.bytes", PngPicture.Encode(shown).Length, "byte", "SkiaSharp's default settings",
            (double)PngPicture.Encode(shown).Length / Usual(shown).Length);
        yield return new Figure("output.exr.720p", Median(() => ExrPicture.Encode(light)), "ms");
        yield return new Figure("output.linear_png.720p", Median(() => LinearPng.Encode(light, 1000)), "ms");
        yield return new Figure("output.develop.720p", Median(() => light.Develop(tone)), "ms");
    }

    private static byte[] Usual(PixelImage image)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        image.Rgba.CopyTo(bitmap.GetPixelSpan());
        using var pixmap = bitmap.PeekPixels();
        using var data = pixmap!.Encode(SKPngEncoderOptions.Default)!;
        return data.ToArray();
    }

    /// <summary>Soft coloured shafts over a dark ground, as haze makes them.</summary>
    private static LinearImage Glow(int width, int height)
    {
        var image = new LinearImage(width, height);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var sum = new Vector3(0.2f, 0.2f, 0.3f);
                for (var k = 0; k < 8; k++)
                {
                    var spread = 8 + (y * 0.08f);
                    var off = (x - 100 - (k * 150) - ((k - 3.5f) * y * 0.2f)) / spread;
                    sum += new Vector3(1, 0.2f + (0.1f * k), 0.1f * k) * (4000 / spread * MathF.Exp(-off * off));
                }

                image[x, y] = sum;
            }
        }

        return image;
    }

    private static double Median(Func<object> run)
    {
        run();
        var times = new double[7];
        for (var i = 0; i < times.Length; i++)
        {
            var start = Stopwatch.GetTimestamp();
            run();
            times[i] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }

        Array.Sort(times);
        return times[times.Length / 2];
    }
}
