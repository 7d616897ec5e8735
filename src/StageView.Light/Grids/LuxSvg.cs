using System.Globalization;
using System.Numerics;
using System.Security;
using System.Text;

namespace StageView.Light.Grids;

/// <summary>A map with isolux lines as an SVG document.</summary>
public static class LuxSvg
{
    private const double Pixels = 900;

    /// <summary>The document; row 0 of the grid lies at the bottom, as in a plan.</summary>
    public static string Write(LuxMap map, string title)
    {
        ArgumentNullException.ThrowIfNull(map);
        var grid = map.Grid;
        var (lengthU, lengthV) = (Math.Max(grid.EdgeU.Length(), 0.01), Math.Max(grid.EdgeV.Length(), 0.01));
        var scale = Math.Min(Pixels / lengthU, Pixels / lengthV);
        var (w, h) = (Math.Max(lengthU * scale, 20), Math.Max(lengthV * scale, 20));
        var (cellW, cellH) = (w / grid.CountU, h / grid.CountV);
        var text = new StringBuilder();
        void Line(FormattableString s) => text.Append(s.ToString(CultureInfo.InvariantCulture)).Append('\n');
        Line($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-10 -40 {w + 20:0.#} {h + 140:0.#}\" font-family=\"DejaVu Sans, sans-serif\">");
        Line($"<rect x=\"-10\" y=\"-40\" width=\"{w + 20:0.#}\" height=\"{h + 140:0.#}\" fill=\"#16181d\"/>");
        Line($"<text x=\"0\" y=\"-16\" font-size=\"18\" fill=\"#e8e8e8\">{SecurityElement.Escape(title)}</text>");
        var most = Math.Max(map.Maximum, 1e-9);
        for (var v = 0; v < grid.CountV; v++)
        {
            for (var u = 0; u < grid.CountU; u++)
            {
                var (r, g, b) = HeatScale.Colour(map.Lux[(v * grid.CountU) + u] / most);
                Line($"<rect x=\"{u * cellW:0.##}\" y=\"{h - ((v + 1) * cellH):0.##}\" width=\"{cellW + 0.5:0.##}\" height=\"{cellH + 0.5:0.##}\" fill=\"#{r:x2}{g:x2}{b:x2}\"/>");
            }
        }

        var spots = new LabelSpots(0, 0, (float)w, (float)h);
        var labels = new List<(Vector2 At, float Level)>();
        foreach (var level in Isolux.Levels(map))
        {
            var path = new StringBuilder();
            var pieces = Isolux.Line(map, level);
            foreach (var (from, to) in pieces)
            {
                path.Append(CultureInfo.InvariantCulture, $"M{(from.X + 0.5) * cellW:0.#} {h - ((from.Y + 0.5) * cellH):0.#}L{(to.X + 0.5) * cellW:0.#} {h - ((to.Y + 0.5) * cellH):0.#}");
            }

            if (pieces.Count > 0)
            {
                Line($"<path d=\"{path}\" stroke=\"#ffffff\" stroke-width=\"1.2\" stroke-opacity=\".8\" fill=\"none\"/>");
                var words = level.ToString("0.###", CultureInfo.InvariantCulture);
                for (var k = 0; k < pieces.Count; k++)
                {
                    var middle = pieces[(k + (pieces.Count / 2)) % pieces.Count].From;
                    if (spots.Centred(new Vector2((float)((middle.X + 0.5) * cellW), (float)(h - ((middle.Y + 0.5) * cellH))), words, 12) is { } at)
                    {
                        labels.Add((at, level));
                        break;
                    }
                }
            }
        }

        foreach (var (at, level) in labels)
        {
            Line($"<text x=\"{at.X:0.#}\" y=\"{at.Y:0.#}\" font-size=\"12\" fill=\"#fff\" stroke=\"#16181d\" stroke-width=\"3\" paint-order=\"stroke\">{level:0.###}</text>");
        }

        Scale(text, map, h + 14, Math.Min(w, 420));
        Line($"<text x=\"0\" y=\"{h + 66:0.#}\" font-size=\"14\" fill=\"#e8e8e8\">average {map.Average:0.0} lx, minimum {map.Minimum:0.0}, maximum {map.Maximum:0.0}, min/average {map.Uniformity:0.00}</text>");
        Line($"<text x=\"0\" y=\"{h + 86:0.#}\" font-size=\"12\" fill=\"#b8b8b8\">{lengthU:0.##} m × {lengthV:0.##} m, {grid.CountU} × {grid.CountV} points, a square each; lines in lx</text>");
        text.Append("</svg>\n");
        return text.ToString();
    }

    private static void Scale(StringBuilder text, LuxMap map, double top, double width)
    {
        const int steps = 48;
        for (var i = 0; i < steps; i++)
        {
            var (r, g, b) = HeatScale.Colour(i / (steps - 1.0));
            text.Append(CultureInfo.InvariantCulture, $"<rect x=\"{width * i / steps:0.##}\" y=\"{top:0.#}\" width=\"{(width / steps) + 0.5:0.##}\" height=\"12\" fill=\"#{r:x2}{g:x2}{b:x2}\"/>\n");
        }

        for (var k = 0; k <= 4; k++)
        {
            var anchor = k == 0 ? "start" : k == 4 ? "end" : "middle";
            var words = (map.Maximum * k / 4).ToString(map.Maximum < 10 ? "0.0" : "0", CultureInfo.InvariantCulture) + (k == 4 ? " lx" : "");
            text.Append(CultureInfo.InvariantCulture, $"<text x=\"{width * k / 4:0.#}\" y=\"{top + 26:0.#}\" font-size=\"12\" fill=\"#e8e8e8\" text-anchor=\"{anchor}\">{words}</text>\n");
        }
    }
}
