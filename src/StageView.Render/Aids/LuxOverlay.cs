using SkiaSharp;
using StageView.Light.Grids;

namespace StageView.Render.Aids;

/// <summary>Illuminance in bands of false colour, dark contours between them, numbers on the contours and a scale at the right.</summary>
internal static class LuxOverlay
{
    /// <summary>Bands, contours and the scale; before anything else, since all of the picture is replaced.</summary>
    public static void Paint(AidPage page, LuxImage lux)
    {
        var scale = LuxScale.For(lux);
        var colours = Colours(scale);
        var pixels = page.Pixels;
        for (var y = 0; y < page.Height; y++)
        {
            for (var x = 0; x < page.Width; x++)
            {
                var at = ((y * page.Width) + x) * 4;
                var band = Band(page, lux, scale, x, y);
                if (band < 0)
                {
                    // What has no surface stays as a dim picture, for orientation.
                    (pixels[at], pixels[at + 1], pixels[at + 2]) = ((byte)(pixels[at] / 3), (byte)(pixels[at + 1] / 3), (byte)(pixels[at + 2] / 3));
                    continue;
                }

                var (right, below) = (Band(page, lux, scale, x + 1, y), Band(page, lux, scale, x, y + 1));
                var contour = (right >= 0 && right != band) || (below >= 0 && below != band);
                var c = contour ? new SKColor(0, 0, 0) : colours[band];
                if (band == 0 && !contour)
                {
                    // What is all but dark lets the picture through, for orientation.
                    c = new SKColor(Mix(c.Red, pixels[at]), Mix(c.Green, pixels[at + 1]), Mix(c.Blue, pixels[at + 2]));
                }

                (pixels[at], pixels[at + 1], pixels[at + 2]) = (c.Red, c.Green, c.Blue);
            }
        }

        Scale(page, scale);
    }

    /// <summary>The largest value, and numbers on the contours.</summary>
    public static void Number(AidPage page, LuxImage lux)
    {
        var scale = LuxScale.For(lux);
        Largest(page, lux);
        var nextAt = new float[scale.Steps.Length];
        var rows = MathF.Round(46 * page.Unit);
        for (var y = rows * 0.5f; y < page.Height; y += rows)
        {
            Array.Clear(nextAt);
            for (var x = 1; x < page.Width; x++)
            {
                var (a, b) = (Band(page, lux, scale, x - 1, (int)y), Band(page, lux, scale, x, (int)y));
                if (a < 0 || b < 0 || a == b || Math.Abs(a - b) > 1)
                {
                    continue;
                }

                var step = Math.Min(a, b);
                var text = Step(scale, step);
                if (x >= nextAt[step] && page.Placer.TryCentre(new SKPoint(x, y), page.PlateFor(text), out var rect))
                {
                    page.Plate(rect, text);
                    nextAt[step] = x + (150 * page.Unit);
                }
            }
        }
    }

    private static void Scale(AidPage page, LuxScale scale)
    {
        var colours = Colours(scale);
        var line = page.LineHeight;
        var chip = MathF.Round(22 * page.Unit);
        var width = chip + page.WidthOf("from 50000") + (14 * page.Unit);
        var all = SKRect.Create(page.Width - width - 4, 4, width, (line * (colours.Length + 1)) + (4 * page.Unit));
        page.Placer.Reserve(all);
        page.Panel(() => DrawScale(page, scale, colours, all, chip));
    }

    private static void DrawScale(AidPage page, LuxScale scale, SKColor[] colours, SKRect all, float chip)
    {
        var line = page.LineHeight;
        page.Fill(all, AidColours.Panel, 2 * page.Unit);
        page.Text(SKRect.Create(all.Left, all.Top, all.Width, line), "lux", AidColours.Ink);
        for (var i = 0; i < colours.Length; i++)
        {
            var band = colours.Length - 1 - i;
            var top = all.Top + (line * (i + 1));
            page.Fill(SKRect.Create(all.Left + (4 * page.Unit), top, chip, line), colours[band]);
            var text = band == 0 ? "under " + Step(scale, 0) : "from " + Step(scale, band - 1);
            page.Text(SKRect.Create(all.Left + chip + (8 * page.Unit), top, page.WidthOf(text), line), text, AidColours.Ink);
        }
    }

    private static void Largest(AidPage page, LuxImage lux)
    {
        var most = -1;
        for (var i = 0; i < lux.Lux.Length; i++)
        {
            if (float.IsFinite(lux.Lux[i]) && lux.Lux[i] > 0 && (most < 0 || lux.Lux[i] > lux.Lux[most]))
            {
                most = i;
            }
        }

        if (most < 0)
        {
            page.Notes.Add("no light on any surface seen here");
            return;
        }

        var at = new System.Numerics.Vector2(
            ((most % lux.Width) + 0.5f) * page.Width / lux.Width, ((most / lux.Width) + 0.5f) * page.Height / lux.Height);
        page.Ring(at, 4 * page.Unit, AidColours.Ink, 1.3f * page.Unit);
        var text = $"most: {Figures.Short(lux.Lux[most])}";
        if (page.Placer.TryPlace(new SKPoint(at.X, at.Y), page.PlateFor(text), out var rect))
        {
            page.Plate(rect, text);
        }
    }

    private static byte Mix(byte band, byte picture) => (byte)((band * 2 / 3) + (picture / 3));

    private static string Step(LuxScale scale, int step) =>
        ((decimal)scale.Steps[step]).ToString("0.#######", System.Globalization.CultureInfo.InvariantCulture);

    private static SKColor[] Colours(LuxScale scale)
    {
        var colours = new SKColor[scale.Steps.Length + 1];
        for (var i = 0; i < colours.Length; i++)
        {
            var (r, g, b) = HeatScale.Colour((double)i / scale.Steps.Length);
            colours[i] = new SKColor(r, g, b);
        }

        return colours;
    }

    /// <summary>Band under a picture point, or -1 where there is no surface or no picture.</summary>
    private static int Band(AidPage page, LuxImage lux, LuxScale scale, int x, int y)
    {
        if (x >= page.Width || y >= page.Height)
        {
            return -1;
        }

        var v = lux.Lux[(y * lux.Height / page.Height * lux.Width) + (x * lux.Width / page.Width)];
        return float.IsFinite(v) && v >= 0 ? scale.BandOf(v) : -1;
    }
}
