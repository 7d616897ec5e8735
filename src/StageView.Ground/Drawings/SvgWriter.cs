using System.Globalization;
using System.Net;
using System.Text;

namespace StageView.Ground.Drawings;

/// <summary>Drawings as SVG; one user unit is a millimetre, so that prints are to scale.</summary>
public static class SvgWriter
{
    public static string Write(Drawing drawing)
    {
        ArgumentNullException.ThrowIfNull(drawing);
        var b = new StringBuilder();
        b.Append(CultureInfo.InvariantCulture, $"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{drawing.Width}mm\" height=\"{drawing.Height}mm\" viewBox=\"0 0 {drawing.Width} {drawing.Height}\" font-family=\"Helvetica, Arial, sans-serif\">\n");
        b.Append("<title>").Append(WebUtility.HtmlEncode(drawing.Title)).Append("</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n");
        foreach (var s in drawing.Shapes)
        {
            if (s.Text.Length > 0)
            {
                b.Append(CultureInfo.InvariantCulture, $"<text x=\"{s.Points[0].X:0.##}\" y=\"{s.Points[0].Y:0.##}\" font-size=\"{s.TextSize:0.##}\"{Centred(s)}>")
                    .Append(WebUtility.HtmlEncode(s.Text)).Append("</text>\n");
                continue;
            }

            if (s.More.Length > 0)
            {
                b.Append("<path d=\"");
                foreach (var outline in s.More.Prepend(s.Points))
                {
                    b.Append('M').AppendJoin('L', outline.Select(p => string.Create(CultureInfo.InvariantCulture, $"{p.X:0.##},{p.Y:0.##}"))).Append('Z');
                }

                b.Append(CultureInfo.InvariantCulture, $"\" fill-rule=\"evenodd\" fill=\"{(s.Fill is { } inside ? Grey(inside) : "none")}\" stroke=\"{Grey(s.Grey)}\" stroke-width=\"{s.Stroke:0.##}\"/>\n");
                continue;
            }

            b.Append(s.Closed ? "<polygon points=\"" : "<polyline points=\"");
            b.AppendJoin(' ', s.Points.Select(p => string.Create(CultureInfo.InvariantCulture, $"{p.X:0.##},{p.Y:0.##}")));
            b.Append(CultureInfo.InvariantCulture, $"\" fill=\"{(s.Fill is { } f ? Grey(f) : "none")}\" {(s.Stroke > 0 ? string.Create(CultureInfo.InvariantCulture, $"stroke=\"{Grey(s.Grey)}\" stroke-width=\"{s.Stroke:0.##}\"") : "")}/>\n");
        }

        return b.Append("</svg>\n").ToString();
    }

    /// <summary>Centred labels keep the width they were placed with, whatever font stands in for Helvetica.</summary>
    private static string Centred(DrawnShape s) => s.Centred
        ? string.Create(CultureInfo.InvariantCulture, $" text-anchor=\"middle\" textLength=\"{LabelPlacer.WidthOf(s.Text, s.TextSize):0.##}\" lengthAdjust=\"spacingAndGlyphs\"")
        : "";

    private static string Grey(float v)
    {
        var g = (int)MathF.Round(Math.Clamp(v, 0, 1) * 255);
        return string.Create(CultureInfo.InvariantCulture, $"#{g:x2}{g:x2}{g:x2}");
    }
}
