using System.Globalization;
using SkiaSharp;
using StageView.Ground.Drawings;
using StageView.Light.Grids;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>A map of illuminance as a picture to read: cells, isolux lines with their levels, a scale, and the figures.</summary>
public static class LuxMapPicture
{
    private const int Longest = 900;
    private const int Margin = 20;
    private const int Header = 40;
    private const int Footer = 96;
    private const float Size = 14;

    /// <summary>Draws it; row 0 of the grid lies at the bottom, as in a plan.</summary>
    public static PixelImage Draw(LuxMap map, string title)
    {
        ArgumentNullException.ThrowIfNull(map);
        ArgumentNullException.ThrowIfNull(title);
        var grid = map.Grid;
        var (lengthU, lengthV) = (MathF.Max(grid.EdgeU.Length(), 0.01f), MathF.Max(grid.EdgeV.Length(), 0.01f));
        var scale = MathF.Min(Longest / lengthU, Longest / lengthV);
        // A line of points has no width of its own: it is drawn as a band.
        var (w, h) = (MathF.Max(lengthU * scale, 40), MathF.Max(lengthV * scale, 40));
        var width = (int)MathF.Max(w, 420) + (2 * Margin);
        var height = (int)h + Header + Footer;
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        var font = new AidFont(Size);
        var large = new AidFont(18);
        canvas.Clear(new SKColor(0x16, 0x18, 0x1d));
        using var ink = new SKPaint { IsAntialias = true, Color = new SKColor(0xe8, 0xe8, 0xe8) };
        large.Draw(canvas, title, Margin, 27, ink);
        var placer = SkiaPlaces.Placer(width, height, 3);
        placer.Reserve(new SKRect(0, 0, width, Header));
        placer.Reserve(new SKRect(0, Header + h, width, height));
        SKPoint At(float column, float row) => new(Margin + ((column + 0.5f) * w / grid.CountU), Header + h - ((row + 0.5f) * h / grid.CountV));
        Cells(canvas, map, w, h);
        Lines(canvas, map, At, font, placer);
        Scale(canvas, map, font, ink, new SKRect(Margin, Header + h + 16, Margin + MathF.Min(w, 420), Header + h + 28));
        font.Draw(canvas, string.Create(CultureInfo.InvariantCulture,
            $"average {map.Average:0.0} lx, minimum {map.Minimum:0.0}, maximum {map.Maximum:0.0}, min/average {map.Uniformity:0.00}"), Margin, height - 32,
            ink);
        ink.Color = new SKColor(0xb8, 0xb8, 0xb8);
        font.Draw(canvas, string.Create(CultureInfo.InvariantCulture,
            $"{lengthU:0.##} m × {lengthV:0.##} m, {grid.CountU} × {grid.CountV} points, a square each; lines in lx"), Margin, height - 12, ink);
        return new PixelImage(width, height, bitmap.GetPixelSpan().ToArray());
    }

    private static void Cells(SKCanvas canvas, LuxMap map, float w, float h)
    {
        var (cellW, cellH) = (w / map.Grid.CountU, h / map.Grid.CountV);
        using var fill = new SKPaint();
        for (var v = 0; v < map.Grid.CountV; v++)
        {
            for (var u = 0; u < map.Grid.CountU; u++)
            {
                fill.Color = Of(map.Lux[(v * map.Grid.CountU) + u] / Math.Max(map.Maximum, 1e-9));
                canvas.DrawRect(Margin + (u * cellW), Header + h - ((v + 1) * cellH), cellW + 0.5f, cellH + 0.5f, fill);
            }
        }
    }

    private static void Lines(SKCanvas canvas, LuxMap map, Func<float, float, SKPoint> at, AidFont font, LabelPlacer placer)
    {
        using var line = new SKPaint { IsAntialias = true, Color = new SKColor(255, 255, 255, 205), StrokeWidth = 1.3f };
        using var text = new SKPaint { IsAntialias = true, Color = SKColors.White };
        using var plate = new SKPaint { IsAntialias = true, Color = new SKColor(0x16, 0x18, 0x1d, 200) };
        var labels = new List<(string Text, SKRect Rect)>();
        foreach (var level in Isolux.Levels(map))
        {
            var pieces = Isolux.Line(map, level);
            var words = level.ToString("0.###", CultureInfo.InvariantCulture);
            var size = new SKSize(font.Width(words) + 6, Size + 2);
            var placed = false;
            for (var k = 0; k < pieces.Count; k++)
            {
                var (from, to) = (at(pieces[k].From.X, pieces[k].From.Y), at(pieces[k].To.X, pieces[k].To.Y));
                canvas.DrawLine(from, to, line);
                var middle = pieces[(k + (pieces.Count / 2)) % pieces.Count].From;
                if (!placed && placer.TryCentre(at(middle.X, middle.Y), size, out var rect))
                {
                    placed = true;
                    labels.Add((words, rect));
                }
            }
        }

        foreach (var (words, rect) in labels)
        {
            canvas.DrawRoundRect(rect, 3, 3, plate);
            font.Draw(canvas, words, rect.Left + 3, rect.Bottom - 4, text);
        }
    }

    private static void Scale(SKCanvas canvas, LuxMap map, AidFont font, SKPaint ink, SKRect bar)
    {
        using var fill = new SKPaint();
        for (var x = 0; x < (int)bar.Width; x++)
        {
            fill.Color = Of(x / (bar.Width - 1.0));
            canvas.DrawRect(bar.Left + x, bar.Top, 1.5f, bar.Height, fill);
        }

        for (var k = 0; k <= 4; k++)
        {
            var words = (map.Maximum * k / 4).ToString(map.Maximum < 10 ? "0.0" : "0", CultureInfo.InvariantCulture) + (k == 4 ? " lx" : "");
            var x = bar.Left + (bar.Width * k / 4);
            font.Draw(canvas, words, k == 0 ? x : k == 4 ? x - font.Width(words) : x - (font.Width(words) / 2), bar.Bottom + 15, ink);
        }
    }

    private static SKColor Of(double share)
    {
        var (r, g, b) = HeatScale.Colour(share);
        return new SKColor(r, g, b);
    }
}
