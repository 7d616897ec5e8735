using System.Numerics;
using StageView.Ground.Drawings;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Paths;

/// <summary>Paths of beams in plan (seen from above) and section (seen from the audience's right: x left out) as an SVG document.</summary>
public static class PathSvg
{
    /// <summary>Reflected parts with less of their fixture's flux than this are not drawn.</summary>
    public const double LeastShare = 0.01;

    private const string Faint = "fill=\"#aaa\"";
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
        var (width, height) = (MathF.Max(planW, sideW) + 40, planH + sideH + 130);
        var page = new SvgPage(new Rectangle(Vector2.Zero, new Vector2(width, height)), "DejaVu Sans, sans-serif");
        page.Rect(Vector2.Zero, new Vector2(width, height), "fill=\"#14161b\"");
        page.Text(new Vector2(20, 28), title, 18, "fill=\"#eee\"");
        page.Text(new Vector2(20, 50), "plan: x to the right, upstage up", 12, Faint);
        Part(page, "plan", new Vector2(20, 60), new Vector2(planW, planH), moment, reports, fixtureNames,
            p => new Vector2(20 + ((p.X - low.X) * scale), 60 + ((high.Y - p.Y) * scale)));
        var top = planH + 100;
        page.Text(new Vector2(20, top - 12), "section: downstage left, upstage right, height up", 12, Faint);
        Part(page, "section", new Vector2(20, top), new Vector2(sideW, sideH), moment, reports, fixtureNames,
            p => new Vector2(20 + ((p.Y - low.Y) * scale), top + ((high.Z - p.Z) * scale)));
        page.Path([[new Vector2(20, height - 14), new Vector2(20 + (scale * 5), height - 14)]], closed: false, "stroke=\"#eee\" stroke-width=\"2\"");
        page.Text(new Vector2(28 + (scale * 5), height - 10), "5 m", 12, "fill=\"#eee\"");
        return page.ToString();
    }

    private static void Part(
        SvgPage page, string name, Vector2 low, Vector2 size, Moment moment, IReadOnlyList<BounceReport> reports, IReadOnlyList<string> names,
        Func<Vector3, Vector2> at)
    {
        page.Clip(name, low, size);
        Draw(page, moment, reports, names, at, new LabelPlacer(new Rectangle(low, low + size), 4, 0));
        page.EndClip();
    }

    private static void Draw(SvgPage page, Moment moment, IReadOnlyList<BounceReport> reports, IReadOnlyList<string> names, Func<Vector3, Vector2> at,
        LabelPlacer placer)
    {
        foreach (var piece in moment.Scenery.Span)
        {
            if (piece.BlocksLight && piece.Mesh.Value < moment.Meshes.Count && moment.Meshes[piece.Mesh.Value].Positions.Length > 0)
            {
                var p = piece;
                page.Polygon(Hull.Of(moment.Meshes[piece.Mesh.Value].Positions.Select(v => at(p.Pose.TransformPoint(v * p.Scale)))),
                    "fill=\"#fff\" fill-opacity=\".025\" stroke=\"#59606e\" stroke-width=\".7\"");
            }
        }

        foreach (var mirror in moment.Mirrors.Span)
        {
            page.Polygon(moment.OutlineOf(mirror.Outline).ToArray().Select(at), "fill=\"#9ad1ff\" fill-opacity=\".25\" stroke=\"#9ad1ff\" stroke-width=\"2\"");
        }

        var labelled = new HashSet<FixtureIndex>();
        var labels = new List<(Vector2 At, string Name, string Ink)>();
        foreach (var r in reports.Where(r => r.Mirrors.Length == 0 || r.Share >= LeastShare))
        {
            var ink = Inks[Math.Max(0, r.Fixture.Value) % Inks.Length];
            page.Polyline(r.Path.Select(at),
                $"fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.2\" stroke-opacity=\"{SvgPage.N(Math.Clamp(0.35 + r.Share, 0.35, 1))}\"");
            if (r.Footprint is { Outline.Length: > 0 } print)
            {
                page.Polygon(print.Outline.Select(at), $"fill=\"{ink}\" fill-opacity=\".15\" stroke=\"{ink}\" stroke-width=\".8\"");
            }

            var lens = at(r.Path[0]);
            page.Circle(lens, 3, $"fill=\"{ink}\"");
            if (!r.Fixture.IsNone && r.Fixture.Value < names.Count && labelled.Add(r.Fixture))
            {
                labels.Add((lens, names[r.Fixture.Value], ink));
            }
        }

        foreach (var (lens, name, ink) in labels)
        {
            if (placer.TryPlace(lens, PageLabels.Room(name, 10), out var place))
            {
                page.Text(new Vector2(place.Low.X, place.High.Y - 2.5f), name, 10,
                    $"fill=\"{ink}\" stroke=\"#14161b\" stroke-width=\"2.5\" paint-order=\"stroke\"");
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
