using System.Globalization;
using System.Numerics;
using System.Security;
using System.Text;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Paths;

/// <summary>Paths of beams in plan (seen from above) and section (seen from the audience's right: x left out) as an SVG document.</summary>
public static class PathSvg
{
    /// <summary>Reflected parts with less of their fixture's flux than this are not drawn.</summary>
    public const double LeastShare = 0.01;

    private static readonly string[] Inks = ["#ffd166", "#06d6a0", "#4cc9f0", "#f78c6b", "#c77dff", "#b8de6f", "#ff8fab", "#90e0ef"];

    /// <summary>One document with the plan on top and the section below it, to one scale.</summary>
    public static string Write(Moment moment, IReadOnlyList<BounceReport> reports, IReadOnlyList<string> fixtureNames, string title)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(reports);
        ArgumentNullException.ThrowIfNull(fixtureNames);
        var (low, high) = Bounds(moment, reports);
        var scale = 1000 / MathF.Max(1, MathF.Max(high.X - low.X, high.Y - low.Y));
        var (planW, planH) = ((high.X - low.X) * scale, (high.Y - low.Y) * scale);
        var (sideW, sideH) = (planH, (high.Z - low.Z) * scale);
        var text = new StringBuilder();
        void Line(FormattableString s) => text.Append(s.ToString(CultureInfo.InvariantCulture)).Append('\n');
        var (width, height) = (MathF.Max(planW, sideW) + 40, planH + sideH + 130);
        Line($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:0.#} {height:0.#}\" font-family=\"DejaVu Sans, sans-serif\">");
        Line($"<rect width=\"{width:0.#}\" height=\"{height:0.#}\" fill=\"#14161b\"/>");
        Line($"<text x=\"20\" y=\"28\" font-size=\"18\" fill=\"#eee\">{SecurityElement.Escape(title)}</text>");
        Line($"<text x=\"20\" y=\"50\" font-size=\"12\" fill=\"#aaa\">plan: x to the right, upstage up</text>");
        Line($"<clipPath id=\"plan\"><rect x=\"20\" y=\"60\" width=\"{planW:0.#}\" height=\"{planH:0.#}\"/></clipPath><g clip-path=\"url(#plan)\">");
        Draw(moment, reports, fixtureNames, text, p => new Vector2(20 + ((p.X - low.X) * scale), 60 + ((high.Y - p.Y) * scale)), new LabelSpots(20, 60, 20 + planW, 60 + planH));
        Line($"</g>");
        var top = planH + 100;
        Line($"<text x=\"20\" y=\"{top - 12:0.#}\" font-size=\"12\" fill=\"#aaa\">section: downstage left, upstage right, height up</text>");
        Line($"<clipPath id=\"section\"><rect x=\"20\" y=\"{top:0.#}\" width=\"{sideW:0.#}\" height=\"{sideH:0.#}\"/></clipPath><g clip-path=\"url(#section)\">");
        Draw(moment, reports, fixtureNames, text, p => new Vector2(20 + ((p.Y - low.Y) * scale), top + ((high.Z - p.Z) * scale)), new LabelSpots(20, top, 20 + sideW, top + sideH));
        Line($"</g>");
        Line($"<path d=\"M20 {height - 14:0.#}h{scale * 5:0.#}\" stroke=\"#eee\" stroke-width=\"2\"/><text x=\"{28 + (scale * 5):0.#}\" y=\"{height - 10:0.#}\" font-size=\"12\" fill=\"#eee\">5 m</text>");
        text.Append("</svg>\n");
        return text.ToString();
    }

    private static void Draw(Moment moment, IReadOnlyList<BounceReport> reports, IReadOnlyList<string> names, StringBuilder text, Func<Vector3, Vector2> at, LabelSpots spots)
    {
        string Points(IEnumerable<Vector3> points) =>
            string.Join(' ', points.Select(p => at(p)).Select(p => string.Create(CultureInfo.InvariantCulture, $"{p.X:0.#},{p.Y:0.#}")));
        void Line(FormattableString s) => text.Append(s.ToString(CultureInfo.InvariantCulture)).Append('\n');
        foreach (var piece in moment.Scenery.Span)
        {
            if (piece.BlocksLight && piece.Mesh < moment.Meshes.Count && moment.Meshes[piece.Mesh].Positions.Length > 0)
            {
                var p = piece;
                var hull = Hull.Of(moment.Meshes[piece.Mesh].Positions.Select(v => at(p.Pose.TransformPoint(v * p.Scale))));
                var d = string.Join(' ', hull.Select(v => string.Create(CultureInfo.InvariantCulture, $"{v.X:0.#},{v.Y:0.#}")));
                Line($"<polygon points=\"{d}\" fill=\"#fff\" fill-opacity=\".025\" stroke=\"#59606e\" stroke-width=\".7\"/>");
            }
        }

        foreach (var mirror in moment.Mirrors.Span)
        {
            Line($"<polygon points=\"{Points(moment.OutlineOf(mirror.Outline).ToArray())}\" fill=\"#9ad1ff\" fill-opacity=\".25\" stroke=\"#9ad1ff\" stroke-width=\"2\"/>");
        }

        var labelled = new HashSet<int>();
        var labels = new List<(Vector2 At, string Name, string Ink)>();
        foreach (var r in reports.Where(r => r.Mirrors.Length == 0 || r.Share >= LeastShare))
        {
            var ink = Inks[Math.Max(0, r.Fixture) % Inks.Length];
            Line($"<polyline points=\"{Points(r.Path)}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.2\" stroke-opacity=\"{Math.Clamp(0.35 + r.Share, 0.35, 1):0.##}\"/>");
            if (r.Footprint is { Outline.Length: > 0 } print)
            {
                Line($"<polygon points=\"{Points(print.Outline)}\" fill=\"{ink}\" fill-opacity=\".15\" stroke=\"{ink}\" stroke-width=\".8\"/>");
            }

            var lens = at(r.Path[0]);
            Line($"<circle cx=\"{lens.X:0.#}\" cy=\"{lens.Y:0.#}\" r=\"3\" fill=\"{ink}\"/>");
            if (r.Fixture >= 0 && r.Fixture < names.Count && labelled.Add(r.Fixture))
            {
                labels.Add((lens, names[r.Fixture], ink));
            }
        }

        foreach (var (lens, name, ink) in labels)
        {
            if (spots.Near(lens, name, 10) is { } spot)
            {
                Line($"<text x=\"{spot.X:0.#}\" y=\"{spot.Y:0.#}\" font-size=\"10\" fill=\"{ink}\" stroke=\"#14161b\" stroke-width=\"2.5\" paint-order=\"stroke\">{SecurityElement.Escape(name)}</text>");
            }
        }
    }

    private static (Vector3 Low, Vector3 High) Bounds(Moment moment, IReadOnlyList<BounceReport> reports)
    {
        var box = Box.Empty;
        foreach (var r in reports)
        {
            foreach (var p in r.Path)
            {
                box.Include(p);
            }
        }

        foreach (var m in moment.Mirrors.Span)
        {
            foreach (var p in moment.OutlineOf(m.Outline))
            {
                box.Include(p);
            }
        }

        if (box.Min.X > box.Max.X)
        {
            box = new Box { Min = Vector3.Zero, Max = Vector3.One };
        }

        // Scenery and footprints far outside the paths would make them small: they are drawn as far as the frame goes, but don't set the scale.
        return (box.Min - new Vector3(1.5f), box.Max + new Vector3(1.5f));
    }
}
