using System.Globalization;
using System.Numerics;
using System.Xml.Linq;

namespace StageView.Paperwork.Tests.Drawings;

/// <summary>Texts of a drawing as they stand in its SVG.</summary>
internal static class DrawingText
{
    /// <summary>Numbers that a label names: 101-103 107 are four; of 101 +9 the first.</summary>
    public static IEnumerable<int> Numbers(string label)
    {
        foreach (var piece in label.Split(' ').TakeWhile(p => !p.StartsWith('+')))
        {
            var ends = piece.Split('-');
            if (int.TryParse(ends[0], NumberStyles.None, CultureInfo.InvariantCulture, out var from)
                && int.TryParse(ends[^1], NumberStyles.None, CultureInfo.InvariantCulture, out var to))
            {
                for (var n = from; n <= to; n++)
                {
                    yield return n;
                }
            }
        }
    }

    /// <summary>Boxes of all centred texts, their width after Helvetica's own (digits .556 of the height, others at least .3).</summary>
    public static List<(string Text, Vector2 Low, Vector2 High)> Labels(string svg)
    {
        XNamespace ns = "http://www.w3.org/2000/svg";
        return [.. XDocument.Parse(svg).Descendants(ns + "text").Where(t => t.Attribute("text-anchor") is not null).Select(t =>
        {
            float Of(string name) => float.Parse(t.Attribute(name)!.Value, CultureInfo.InvariantCulture);
            var (at, size) = (new Vector2(Of("x"), Of("y")), Of("font-size"));
            var half = t.Value.Sum(c => char.IsAsciiDigit(c) ? .556f : .3f) * size / 2;
            return (t.Value, at + new Vector2(-half, -.7f * size), at + new Vector2(half, 0));
        })];
    }
}
