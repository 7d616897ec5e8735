using SkiaSharp;
using StageView.Ground.Drawings;

namespace StageView.Paperwork.Lists;

/// <summary>Drawings as PDF: one page each, to scale, vector lines, text that can be searched, its fonts embedded so that any script's letters print.</summary>
public static class PdfWriter
{
    private const float PointsPerMillimetre = 72 / 25.4f;

    /// <exception cref="FileNotFoundException">The machine has no font.</exception>
    public static byte[] Write(IReadOnlyList<Drawing> pages)
    {
        ArgumentNullException.ThrowIfNull(pages);
        using var file = new MemoryStream();
        using var font = new PaperFont();
        using (var document = SKDocument.CreatePdf(file,
            new SKDocumentPdfMetadata { Title = pages.Count > 0 ? pages[0].Title : "", Producer = "StageView", RasterDpi = 300, EncodingQuality = 101 }))
        {
            foreach (var page in pages)
            {
                using var canvas = document.BeginPage(page.Width * PointsPerMillimetre, page.Height * PointsPerMillimetre);
                canvas.Scale(PointsPerMillimetre);
                Draw(page, canvas, font);
                document.EndPage();
            }

            document.Close();
        }

        return file.ToArray();
    }

    private static void Draw(Drawing page, SKCanvas canvas, PaperFont font)
    {
        using var paint = new SKPaint { IsAntialias = true };
        foreach (var s in page.Shapes)
        {
            if (s.Text.Length > 0)
            {
                var width = s.Centred ? PageLabels.WidthOf(s.Text, s.TextSize) : (float?)null;
                font.Write(canvas, s.Text, s.Points[0].X - ((width ?? 0) / 2), s.Points[0].Y, s.TextSize, width);
                continue;
            }

            using var path = PathOf(s);
            if (s.Fill is { } fill && s.Closed)
            {
                (paint.Style, paint.Color) = (SKPaintStyle.Fill, Colour(s, fill));
                canvas.DrawPath(path, paint);
            }

            if (s.Stroke > 0)
            {
                (paint.Style, paint.Color, paint.StrokeWidth) = (SKPaintStyle.Stroke, Colour(s, s.Grey), s.Stroke);
                canvas.DrawPath(path, paint);
            }
        }
    }

    private static SKPath PathOf(DrawnShape s)
    {
        using var path = new SKPathBuilder { FillType = SKPathFillType.EvenOdd };
        foreach (var outline in s.More.Prepend(s.Points))
        {
            path.AddPoly([.. outline.Select(p => new SKPoint(p.X, p.Y))], s.Closed);
        }

        return path.Detach();
    }

    private static SKColor Colour(DrawnShape s, float v)
    {
        var (r, g, b) = s.Shade(v);
        return new SKColor(r, g, b);
    }
}
