using System.Globalization;
using System.Numerics;
using StageView.Light;

namespace StageView.Rig;

/// <summary>
/// Plan, front view and section to scale with a title block. Plain shapes of our own, told in the legend: a fixture's outline
/// is its bodies' hull; a number stands beside it.
/// </summary>
public static class RigDrawings
{
    private const float Margin = 10;
    private const float BlockHeight = 26;
    private static readonly int[] Scales = [20, 25, 50, 75, 100, 150, 200, 250, 500, 1000, 2000, 5000];
    private static readonly (string Name, float Width, float Height)[] Papers = [("A3", 420, 297), ("A2", 594, 420), ("A1", 841, 594)];

    public static IReadOnlyList<Drawing> All(RigScene rig, string date = "")
    {
        ArgumentNullException.ThrowIfNull(rig);
        return
        [
            Draw(rig, "plan", "Plan", "seen from above, house at the bottom", date, p => new Vector2(p.X, -p.Y), p => p.Z),
            Draw(rig, "front", "Front view", "seen from the house", date, p => new Vector2(p.X, -p.Z), p => -p.Y),
            Draw(rig, "section", "Section", "seen from stage left, house on the left", date, p => new Vector2(p.Y, -p.Z), p => p.X),
        ];
    }

    private static Drawing Draw(RigScene rig, string name, string title, string seen, string date, Func<Vector3, Vector2> flat, Func<Vector3, float> depth)
    {
        var places = Places(rig);
        var shapes = new List<(float Depth, Vector2[] Outline, float Stroke, float Grey, float? Fill, string Label, Vector2 At)>();
        foreach (var s in rig.Scenery)
        {
            // Floors, walls and ceilings would cover everything: only what is smaller than a room is filled.
            var pose = s.Carrier is { } c ? places[c.Fixture][c.Geometry].Compose(s.Pose) : s.Pose;
            var hull = Hull(rig.Meshes[s.Mesh].Positions.Select(p => flat(pose.TransformPoint(p * s.Scale))));
            var large = (s.Scale * 1f).Length() > 18 && s.Kind == SceneryKind.Scenery;
            shapes.Add((large ? float.MinValue : depth(pose.Position), hull, s.Kind == SceneryKind.Structure ? .3f : .15f, large ? .75f : .45f, large ? null : s.Kind == SceneryKind.Structure ? null : .93f, "", default));
        }

        foreach (var m in rig.Mirrors)
        {
            shapes.Add((depth(m.Corners[0]), [.. m.Corners.Select(flat)], .35f, .3f, .86f, "", default));
        }

        foreach (var f in rig.Fixtures)
        {
            var nodes = places[f.Index];
            var points = f.Mode.Geometry.Where(g => g.Body is not null).SelectMany(g =>
            {
                var at = nodes[g.Index].Compose(g.Body!.Offset);
                return rig.Meshes[g.Body.Mesh].Positions.Select(p => flat(at.TransformPoint(p * g.Body.Size)));
            });
            var hull = Hull(points);
            var centre = flat(nodes[0].Position);
            if (hull.Length < 3)
            {
                hull = [centre + new Vector2(-.1f, -.1f), centre + new Vector2(.1f, -.1f), centre + new Vector2(.1f, .1f), centre + new Vector2(-.1f, .1f)];
            }

            shapes.Add((depth(nodes[0].Position), hull, .25f, 0, 1, f.Number.Length > 0 ? f.Number : f.Name, centre));
        }

        // What hangs, and what is no larger than a stage, sets the frame; walls and floors are cut at it.
        var framed = shapes.Where(s => s.Stroke > .15f).SelectMany(s => s.Outline).ToList();
        framed = framed.Count > 0 ? framed : [.. shapes.SelectMany(s => s.Outline).DefaultIfEmpty()];
        var low = framed.Aggregate(Vector2.Min) - new Vector2(1.2f);
        var high = framed.Aggregate(Vector2.Max) + new Vector2(1.2f);
        var (paper, scale) = Fit(high - low);
        var page = new Drawing(name, $"{rig.Name}: {title}", paper.Width, paper.Height);
        var k = 1000f / scale;
        var origin = new Vector2((paper.Width - ((high.X - low.X) * k)) / 2, Margin + 4 + ((paper.Height - BlockHeight - (2 * Margin) - 6 - ((high.Y - low.Y) * k)) / 2));
        Vector2 Page(Vector2 p) => origin + ((p - low) * k);

        // Scenery first, then what hangs: a column in front never hides a truss in a working drawing.
        foreach (var s in shapes.OrderBy(s => s.Stroke > .15f).ThenBy(s => s.Depth))
        {
            if (Cut(s.Outline, low, high) is { Length: > 1 } cut)
            {
                page.Area([.. cut.Select(Page)], s.Stroke, s.Grey, s.Fill);
            }
        }

        Label(page, [.. shapes.Where(s => s.Label.Length > 0).Select(s => (s.Label, Page(s.At), Page(new Vector2(s.At.X, s.Outline.Max(p => p.Y))).Y))]);
        if (name != "section")
        {
            Dash(page, Page(new Vector2(0, low.Y)), Page(new Vector2(0, high.Y)));
        }

        Block(page, rig, title, seen, date, paper.Name, scale, k);
        return page;
    }

    private static ((string Name, float Width, float Height) Paper, int Scale) Fit(Vector2 size)
    {
        // The smallest paper on which the rig is drawn at 1:50 or larger, else 1:100, else what fits on the largest.
        foreach (var most in (ReadOnlySpan<int>)[50, 100, int.MaxValue])
        {
            foreach (var paper in Papers)
            {
                var room = new Vector2(paper.Width - (2 * Margin) - 6, paper.Height - BlockHeight - (2 * Margin) - 8);
                foreach (var s in Scales)
                {
                    if (s <= most && size.X * 1000 / s <= room.X && size.Y * 1000 / s <= room.Y)
                    {
                        return (paper, s);
                    }
                }
            }
        }

        return (Papers[^1], 10_000);
    }

    /// <summary>Numbers under their fixtures; one that would lie on another moves down.</summary>
    private static void Label(Drawing page, List<(string Text, Vector2 At, float Bottom)> labels)
    {
        var taken = new List<(Vector2 Low, Vector2 High)>();
        foreach (var (text, at, bottom) in labels.OrderBy(l => l.At.Y).ThenBy(l => l.At.X))
        {
            const float Size = 1.9f;
            var half = text.Length * Size * .28f;
            var y = bottom + 2.2f;
            for (var tries = 0; tries < 8; tries++)
            {
                var (low, high) = (new Vector2(at.X - half, y - Size), new Vector2(at.X + half, y));
                if (!taken.Exists(t => low.X < t.High.X && high.X > t.Low.X && low.Y < t.High.Y && high.Y > t.Low.Y))
                {
                    taken.Add((low, high));
                    break;
                }

                y += Size + .3f;
            }

            page.Write(new Vector2(at.X, y), text, Size, centred: true);
        }
    }

    private static void Dash(Drawing page, Vector2 a, Vector2 b)
    {
        var length = Vector2.Distance(a, b);
        var along = (b - a) / Math.Max(length, 1e-3f);
        for (var t = 0f; t < length; t += 7)
        {
            page.Line(a + (along * t), a + (along * Math.Min(length, t + 5)), .12f, .4f);
        }
    }

    private static void Block(Drawing page, RigScene rig, string title, string seen, string date, string paper, int scale, float k)
    {
        var (w, h) = (page.Width, page.Height);
        page.Area([new(Margin, Margin), new(w - Margin, Margin), new(w - Margin, h - Margin), new(Margin, h - Margin)], .35f);
        var top = h - Margin - BlockHeight;
        page.Line(new(Margin, top), new(w - Margin, top), .35f);
        page.Write(new(Margin + 4, top + 8), rig.Name, 5);
        page.Write(new(Margin + 4, top + 14), $"{title}, {seen}", 3.2f);
        page.Write(new(Margin + 4, top + 20), string.Create(CultureInfo.InvariantCulture, $"Scale 1:{scale} on {paper}{(date.Length > 0 ? $"    {date}" : "")}    {rig.Fixtures.Count} fixtures"), 3.2f);
        page.Write(new(Margin + 4, top + 24.5f), "Drawn from the scene file. Not a structural drawing: a qualified rigger decides.", 2.4f);

        var x = Margin + 132;
        page.Area([new(x, top + 5), new(x + 8, top + 5), new(x + 8, top + 9), new(x, top + 9)], .25f, 0, 1);
        page.Write(new(x + 10, top + 8.4f), "fixture with its number", 2.6f);
        page.Area([new(x, top + 11), new(x + 8, top + 11), new(x + 8, top + 15), new(x, top + 15)], .3f, .45f);
        page.Write(new(x + 10, top + 14.4f), "truss, ladder, pipe", 2.6f);
        page.Area([new(x, top + 17), new(x + 8, top + 17), new(x + 8, top + 21), new(x, top + 21)], .35f, .3f, .86f);
        page.Write(new(x + 10, top + 20.4f), "mirror", 2.6f);
        var x2 = x + 46;
        page.Area([new(x2, top + 5), new(x2 + 8, top + 5), new(x2 + 8, top + 9), new(x2, top + 9)], .15f, .45f, .93f);
        page.Write(new(x2 + 10, top + 8.4f), "scenery", 2.6f);
        Dash(page, new(x2, top + 13), new(x2 + 8, top + 13));
        page.Write(new(x2 + 10, top + 14), "centre line", 2.6f);

        // A scale bar of five metres, a metre a field.
        var x3 = x2 + 46;
        for (var i = 0; i < 5; i++)
        {
            page.Area([new(x3 + (i * k), top + 17), new(x3 + ((i + 1) * k), top + 17), new(x3 + ((i + 1) * k), top + 19), new(x3 + (i * k), top + 19)], .15f, 0, (i & 1) == 0 ? 0 : 1);
        }

        page.Write(new(x3, top + 15.6f), "0", 2.4f);
        page.Write(new(x3 + (5 * k), top + 15.6f), "5 m", 2.4f);
    }

    /// <summary>World poses of every geometry at rest, carried fixtures included.</summary>
    internal static Pose[][] Places(RigScene rig)
    {
        var places = new Pose[rig.Fixtures.Count][];
        Pose[] Of(int fixture)
        {
            if (places[fixture] is { } known)
            {
                return known;
            }

            var f = rig.Fixtures[fixture];
            var root = f.Carrier is { } c ? Of(c.Fixture)[c.Geometry].Compose(f.Pose) : f.Pose;
            var nodes = new Pose[f.Mode.Geometry.Count];
            foreach (var g in f.Mode.Geometry)
            {
                nodes[g.Index] = (g.Parent < 0 ? root : nodes[g.Parent]).Compose(g.Pose);
            }

            return places[fixture] = nodes;
        }

        for (var i = 0; i < places.Length; i++)
        {
            Of(i);
        }

        return places;
    }

    /// <summary>A convex outline within a rectangle (Sutherland and Hodgman, 1974).</summary>
    private static Vector2[] Cut(Vector2[] outline, Vector2 low, Vector2 high)
    {
        List<Vector2> points = [.. outline];
        foreach (var (normal, least) in (ReadOnlySpan<(Vector2, float)>)[(Vector2.UnitX, low.X), (-Vector2.UnitX, -high.X), (Vector2.UnitY, low.Y), (-Vector2.UnitY, -high.Y)])
        {
            var kept = new List<Vector2>();
            for (var i = 0; i < points.Count; i++)
            {
                var (a, b) = (points[i], points[(i + 1) % points.Count]);
                var (da, db) = (Vector2.Dot(a, normal) - least, Vector2.Dot(b, normal) - least);
                if (da >= 0)
                {
                    kept.Add(a);
                }

                if (da * db < 0)
                {
                    kept.Add(Vector2.Lerp(a, b, da / (da - db)));
                }
            }

            points = kept;
        }

        return [.. points];
    }

    /// <summary>Convex hull by Andrew's monotone chain.</summary>
    private static Vector2[] Hull(IEnumerable<Vector2> points)
    {
        var p = points.Distinct().OrderBy(v => v.X).ThenBy(v => v.Y).ToArray();
        if (p.Length < 3)
        {
            return p;
        }

        var hull = new Vector2[2 * p.Length];
        var n = 0;
        static float Turn(Vector2 o, Vector2 a, Vector2 b) => ((a.X - o.X) * (b.Y - o.Y)) - ((a.Y - o.Y) * (b.X - o.X));
        for (var pass = 0; pass < 2; pass++)
        {
            var floor = n + 1;
            for (var i = 0; i < p.Length; i++)
            {
                var v = pass == 0 ? p[i] : p[p.Length - 1 - i];
                while (n > floor && Turn(hull[n - 2], hull[n - 1], v) <= 0)
                {
                    n--;
                }

                hull[n++] = v;
            }

            n--;
        }

        return hull[..n];
    }
}
