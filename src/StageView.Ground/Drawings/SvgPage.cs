using System.Globalization;
using System.Net;
using System.Numerics;
using System.Text;

namespace StageView.Ground.Drawings;

/// <summary>
/// An SVG 1.1 document as it is written: numbers with a point and at most two decimals, texts escaped. Attributes that only
/// colour or shape (<c>fill="#fff" stroke-width="2"</c>) are handed in as they are to stand there, and must be well-formed.
/// </summary>
public sealed class SvgPage
{
    private readonly StringBuilder _text = new();

    /// <param name="view">The part of the plane that is seen, user units.</param>
    /// <param name="font">Font families.</param>
    /// <param name="unit">A unit in which width and height are printed to scale ("mm"), or null for none.</param>
    public SvgPage(Rectangle view, string font, string? unit = null)
    {
        var size = view.High - view.Low;
        var printed = unit is null ? "" : $"width=\"{N(size.X)}{unit}\" height=\"{N(size.Y)}{unit}\" ";
        _text.Append(
            $"<svg xmlns=\"http://www.w3.org/2000/svg\" {printed}viewBox=\"{N(view.Low.X)} {N(view.Low.Y)} {N(size.X)} {N(size.Y)}\" "
            + $"font-family=\"{Escaped(font)}\">\n");
    }

    public void Title(string text) => _text.Append("<title>").Append(Escaped(text)).Append("</title>\n");

    public void Rect(Vector2 low, Vector2 size, string attributes) =>
        _text.Append($"<rect x=\"{N(low.X)}\" y=\"{N(low.Y)}\" width=\"{N(size.X)}\" height=\"{N(size.Y)}\" {attributes}/>\n");

    public void Polygon(IEnumerable<Vector2> points, string attributes) => Points("polygon", points, attributes);

    public void Polyline(IEnumerable<Vector2> points, string attributes) => Points("polyline", points, attributes);

    public void Circle(Vector2 middle, float radius, string attributes) =>
        _text.Append($"<circle cx=\"{N(middle.X)}\" cy=\"{N(middle.Y)}\" r=\"{N(radius)}\" {attributes}/>\n");

    /// <summary>Lines from point to point; closed ones end where they began.</summary>
    public void Path(IEnumerable<IReadOnlyList<Vector2>> lines, bool closed, string attributes)
    {
        ArgumentNullException.ThrowIfNull(lines);
        _text.Append("<path d=\"");
        foreach (var line in lines)
        {
            _text.Append('M').AppendJoin('L', line.Select(P)).Append(closed ? "Z" : "");
        }

        _text.Append($"\" {attributes}/>\n");
    }

    public void Text(Vector2 at, string text, float size, string attributes) =>
        _text.Append($"<text x=\"{N(at.X)}\" y=\"{N(at.Y)}\" font-size=\"{N(size)}\"{(attributes.Length > 0 ? " " : "")}{attributes}>").Append(Escaped(text))
        .Append("</text>\n");

    /// <summary>What is written next is cut to a rectangle, until <see cref="EndClip"/>.</summary>
    public void Clip(string id, Vector2 low, Vector2 size)
    {
        _text.Append($"<clipPath id=\"{Escaped(id)}\">");
        Rect(low, size, "");
        _text.Append($"</clipPath><g clip-path=\"url(#{Escaped(id)})\">\n");
    }

    public void EndClip() => _text.Append("</g>\n");

    /// <summary>The document so far, closed.</summary>
    public override string ToString() => _text + "</svg>\n";

    /// <summary>A number as SVG reads it.</summary>
    public static string N(double v) => v.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Escaped(string text) => WebUtility.HtmlEncode(text);

    private static string P(Vector2 p) => N(p.X) + "," + N(p.Y);

    private void Points(string kind, IEnumerable<Vector2> points, string attributes) =>
        _text.Append('<').Append(kind).Append(" points=\"").AppendJoin(' ', points.Select(P)).Append($"\" {attributes}/>\n");
}
