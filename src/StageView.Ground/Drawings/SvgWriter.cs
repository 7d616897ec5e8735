using System.Globalization;
using System.Numerics;

namespace StageView.Ground.Drawings;

/// <summary>Drawings as SVG; one user unit is a millimetre, so that prints are to scale.</summary>
public static class SvgWriter
{
    public static string Write(Drawing drawing)
    {
        ArgumentNullException.ThrowIfNull(drawing);
        var size = new Vector2(drawing.Width, drawing.Height);
        var page = new SvgPage(new Rectangle(Vector2.Zero, size), "Helvetica, Arial, sans-serif", "mm");
        page.Title(drawing.Title);
        page.Rect(Vector2.Zero, size, "fill=\"#fff\"");
        foreach (var s in drawing.Shapes)
        {
            var fill = $"fill=\"{(s.Fill is { } inside ? Colour(s, inside) : "none")}\"";
            var stroke = s.Stroke > 0 ? $" stroke=\"{Colour(s, s.Grey)}\" stroke-width=\"{SvgPage.N(s.Stroke)}\"" : "";
            if (s.Text.Length > 0)
            {
                page.Text(s.Points[0], s.Text, s.TextSize, Centred(s));
            }
            else if (s.More.Length > 0)
            {
                page.Path(s.More.Prepend(s.Points), closed: true, "fill-rule=\"evenodd\" " + fill + stroke);
            }
            else if (s.Closed)
            {
                page.Polygon(s.Points, fill + stroke);
            }
            else
            {
                page.Polyline(s.Points, fill + stroke);
            }
        }

        return page.ToString();
    }

    /// <summary>Centred labels keep the width they were placed with, whatever font stands in for Helvetica.</summary>
    private static string Centred(DrawnShape s) => s.Centred
        ? $"text-anchor=\"middle\" textLength=\"{SvgPage.N(PageLabels.WidthOf(s.Text, s.TextSize))}\" lengthAdjust=\"spacingAndGlyphs\""
        : "";

    private static string Colour(DrawnShape s, float v)
    {
        var (r, g, b) = s.Shade(v);
        return string.Create(CultureInfo.InvariantCulture, $"#{r:x2}{g:x2}{b:x2}");
    }
}
