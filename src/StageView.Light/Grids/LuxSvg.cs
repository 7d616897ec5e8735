using System.Globalization;
using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Light.Grids;

/// <summary>A map with isolux lines as an SVG document.</summary>
public static class LuxSvg
{
    private const float Pixels = 900;

    /// <summary>The document; row 0 of the grid lies at the bottom, as in a plan.</summary>
    public static string Write(LuxMap map, string title)
    {
        ArgumentNullException.ThrowIfNull(map);
        var grid = map.Grid;
        var (lengthU, lengthV) = (MathF.Max(grid.EdgeU.Length(), 0.01f), MathF.Max(grid.EdgeV.Length(), 0.01f));
        var scale = MathF.Min(Pixels / lengthU, Pixels / lengthV);
        var size = Vector2.Max(new Vector2(lengthU, lengthV) * scale, new Vector2(20));
        var cell = size / new Vector2(grid.CountU, grid.CountV);
        Vector2 At(Vector2 p) => new((p.X + 0.5f) * cell.X, size.Y - ((p.Y + 0.5f) * cell.Y));

        var view = new Rectangle(new Vector2(-10, -40), size + new Vector2(10, 100));
        var page = new SvgPage(view, "DejaVu Sans, sans-serif");
        page.Rect(view.Low, view.High - view.Low, "fill=\"#16181d\"");
        page.Text(new Vector2(0, -16), title, 18, "fill=\"#e8e8e8\"");
        var most = Math.Max(map.Maximum, 1e-9);
        for (var v = 0; v < grid.CountV; v++)
        {
            for (var u = 0; u < grid.CountU; u++)
            {
                page.Rect(new Vector2(u * cell.X, size.Y - ((v + 1) * cell.Y)), cell + new Vector2(0.5f), Fill(map.Lux[(v * grid.CountU) + u] / most));
            }
        }

        Lines(page, map, size, At);
        Scale(page, map, size.Y + 14, MathF.Min(size.X, 420));
        Words(page, size.Y + 66, 14, "#e8e8e8",
            $"average {map.Average:0.0} lx, minimum {map.Minimum:0.0}, maximum {map.Maximum:0.0}, min/average {map.Uniformity:0.00}");
        Words(page, size.Y + 86, 12, "#b8b8b8", $"{lengthU:0.##} m × {lengthV:0.##} m, {grid.CountU} × {grid.CountV} points, a square each; lines in lx");
        return page.ToString();
    }

    private static void Lines(SvgPage page, LuxMap map, Vector2 size, Func<Vector2, Vector2> at)
    {
        const float letters = 12;
        var placer = new LabelPlacer(new Rectangle(Vector2.Zero, size), 3, 0);
        var labels = new List<(Vector2 At, string Words)>();
        foreach (var level in Isolux.Levels(map))
        {
            var pieces = Isolux.Line(map, level);
            if (pieces.Count == 0)
            {
                continue;
            }

            page.Path(pieces.Select(p => new[] { at(p.From), at(p.To) }), closed: false,
                "stroke=\"#ffffff\" stroke-width=\"1.2\" stroke-opacity=\".8\" fill=\"none\"");
            var words = level.ToString("0.###", CultureInfo.InvariantCulture);
            for (var k = 0; k < pieces.Count; k++)
            {
                if (placer.TryCentre(at(pieces[(k + (pieces.Count / 2)) % pieces.Count].From), PageLabels.Room(words, letters), out var place))
                {
                    labels.Add((new Vector2(place.Low.X, place.High.Y - (letters * 0.25f)), words));
                    break;
                }
            }
        }

        foreach (var (spot, words) in labels)
        {
            page.Text(spot, words, letters, "fill=\"#fff\" stroke=\"#16181d\" stroke-width=\"3\" paint-order=\"stroke\"");
        }
    }

    private static void Scale(SvgPage page, LuxMap map, float top, float width)
    {
        const int steps = 48;
        for (var i = 0; i < steps; i++)
        {
            page.Rect(new Vector2(width * i / steps, top), new Vector2((width / steps) + 0.5f, 12), Fill(i / (steps - 1.0)));
        }

        for (var k = 0; k <= 4; k++)
        {
            var anchor = k == 0 ? "start" : k == 4 ? "end" : "middle";
            var words = (map.Maximum * k / 4).ToString(map.Maximum < 10 ? "0.0" : "0", CultureInfo.InvariantCulture) + (k == 4 ? " lx" : "");
            page.Text(new Vector2(width * k / 4, top + 26), words, 12, $"fill=\"#e8e8e8\" text-anchor=\"{anchor}\"");
        }
    }

    private static void Words(SvgPage page, float y, float size, string colour, FormattableString text) =>
        page.Text(new Vector2(0, y), text.ToString(CultureInfo.InvariantCulture), size, $"fill=\"{colour}\"");

    private static string Fill(double share)
    {
        var (r, g, b) = HeatScale.Colour(share);
        return $"fill=\"#{r:x2}{g:x2}{b:x2}\"";
    }
}
