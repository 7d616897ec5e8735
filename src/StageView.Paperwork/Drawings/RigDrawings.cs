using System.Globalization;
using System.Numerics;
using StageView.Ground.Drawings;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;

namespace StageView.Paperwork.Drawings;

/// <summary>
/// Plan, front view and section to scale with a title block. Plain shapes of our own, told in the legend: a fixture's outline
/// is its bodies' hull; its number stands beside it. The section is cut along an upright plane and shows what lies beyond.
/// </summary>
public static class RigDrawings
{
    /// <summary>Ends of an overlay farther than this from the origin don't widen the frame, m.</summary>
    private const float FarthestFramed = 60;

    /// <param name="rig">The rig.</param>
    /// <param name="stamp">For the title blocks.</param>
    /// <param name="cut">Where the section cuts, m from the centre line.</param>
    public static IReadOnlyList<Drawing> All(RigScene rig, PaperStamp stamp, float cut = 0)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(stamp);
        var where = cut == 0 ? "on the centre line" : string.Create(CultureInfo.InvariantCulture, $"at x = {cut:0.##} m");
        return
        [
            Draw(rig, "plan", "Plan, seen from above, house at the bottom", stamp, p => new Vector2(p.X, -p.Y), p => p.Z, null),
            Draw(rig, "front", "Front view, seen from the house", stamp, p => new Vector2(p.X, -p.Z), p => -p.Y, null),
            Draw(rig, "section", $"Section {where}, seen from stage left, house on the left", stamp, p => new Vector2(p.Y, -p.Z), p => p.X, cut),
        ];
    }

    /// <summary>Plan and side view of the whole rig on A3, with what an overlay shows.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="overlay">What lies over it; its places set the frame with the volumes.</param>
    /// <param name="stamp">For the title blocks.</param>
    public static IReadOnlyList<Drawing> With(RigScene rig, DrawingOverlay overlay, PaperStamp stamp)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(stamp);
        ArgumentNullException.ThrowIfNull(overlay);
        return
        [
            Draw(rig, "plan", "Plan, seen from above, house at the bottom", stamp, p => new Vector2(p.X, -p.Y), p => p.Z, null, overlay),
            Draw(rig, "side", "Side view, seen from stage left, house on the left", stamp, p => new Vector2(p.Y, -p.Z), p => p.X, null, overlay),
        ];
    }

    private static Drawing Draw(RigScene rig, string name, string title, PaperStamp stamp, Func<Vector3, Vector2> flat, Func<Vector3, float> depth, float? cut,
        DrawingOverlay? overlay = null)
    {
        var shapes = new List<Shape>();
        var places = PlacesAtRest.Places(rig);
        AddScenery(rig, places, shapes, flat, depth, cut);
        var nearer = AddFixtures(rig, places, shapes, flat, depth, cut, overlay?.Fixtures);

        // What hangs, and what is no larger than a stage, sets the frame; walls and floors are cut at it.
        var framed = shapes.Where(s => s.Stroke > .15f && !s.IsCut).SelectMany(s => s.Outline).ToList();
        framed = framed.Count > 0 ? framed : [.. shapes.SelectMany(s => s.Outline).DefaultIfEmpty()];
        if (name != "plan" && framed.Count > 0)
        {
            // Stage level belongs into every elevation, the seats and edges of sight lines into the section.
            framed.Add(framed[0] with { Y = 0 });
            framed.AddRange(cut is null ? [] : rig.SightLines.SelectMany(s => new[] { flat(s.Eye), flat(s.Edge) }));
        }

        if (overlay is not null)
        {
            // Ends within a house's length belong into the frame, farther ones are cut at it; so do the places of people.
            framed.AddRange(overlay.Rays.Select(r => r.To).Where(p => p.Length() < FarthestFramed).Select(flat));
            framed.AddRange(rig.Volumes.SelectMany(DrawingGuides.Corners).Select(flat));
            var (top, bottom) = (framed.Min(p => p.Y), framed.Max(p => p.Y));
            framed.Add(framed[0] with { Y = top - (.12f * (bottom - top)) });
        }

        var low = framed.Aggregate(Vector2.Min) - new Vector2(1.2f);
        var high = framed.Aggregate(Vector2.Max) + new Vector2(1.2f);
        var sheet = new Sheet(name, $"{stamp.Heading}: {title.Split(',')[0]}", low, high, overlay is not null);

        // Scenery first, then what is cut, then what hangs: a column in front never hides a truss in a working drawing.
        foreach (var s in shapes.Where(s => !s.IsName).OrderBy(s => s.IsCut ? 1 : s.Stroke > .15f ? 2 : 0).ThenBy(s => s.Depth))
        {
            var outlines = s.Holes.Prepend(s.Outline).Select(o => Outlines.Cut(o, low, high)).Where(o => o.Length > 1).Select(o => o.Select(sheet.At).ToArray())
                .ToArray();
            if (outlines.Length > 0)
            {
                sheet.Page.Area(outlines[0], s.Stroke, s.Grey, s.Fill, outlines[1..]);
            }
        }

        DrawingGuides.Draw(sheet, rig, flat, low, high, cut is not null);
        var writer = new OverlayWriter(sheet, flat, low, high);
        if (overlay is not null)
        {
            writer.Draw(overlay);
        }

        if (cut is null && name != "side")
        {
            sheet.Dash(sheet.At(new Vector2(0, low.Y)), sheet.At(new Vector2(0, high.Y)));
        }

        if (name != "plan")
        {
            sheet.Page.Line(sheet.At(new Vector2(low.X, 0)), sheet.At(new Vector2(high.X, 0)), .12f, .4f);
            sheet.Page.Write(sheet.At(new Vector2(low.X, 0)) + new Vector2(1, -.8f), "0.00", sheet.TextSize);
        }

        var (crowded, behind) = Labels(sheet, shapes, overlay is null ? [] : [.. writer.Rings(overlay)]);

        List<string> facts =
        [
            string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(rig.Fixtures.Count - nearer, "fixture")}{(nearer > 0 ? $", {nearer} nearer than the cut not drawn" : "")}"),
        ];
        if (behind)
        {
            facts.Add("+n: n more behind it");
        }

        if (crowded > 0)
        {
            facts.Add($"{Counted.Of(crowded, "label")} found no room of {(crowded == 1 ? "its" : "their")} own");
        }

        sheet.Block(stamp.Heading, overlay is null ? title : $"{overlay.Title}: {title}", string.Join("; ", facts), stamp.Made, cut is not null);
        return sheet.Page;
    }

    private static void AddScenery(RigScene rig, Pose[][] places, List<Shape> shapes, Func<Vector3, Vector2> flat, Func<Vector3, float> depth, float? cut)
    {
        foreach (var s in rig.Scenery)
        {
            var pose = s.Carrier is { } c ? places[c.Fixture.Value][c.Geometry].Compose(s.Pose) : s.Pose;
            var mesh = rig.Meshes[s.Mesh];
            Vector3 World(Vector3 p) => pose.TransformPoint(p * s.Scale);
            var hull = Outlines.Hull((cut is { } x ? SectionCut.Beyond(mesh, World, x) : mesh.Positions.Select(World)).Select(flat));
            if (hull.Length < 2)
            {
                continue;
            }

            // Floors, walls and ceilings would cover everything: only what is smaller than a room is filled.
            var structure = s.Kind == SceneryKind.Structure;
            var large = s.Scale.Length() > 18 && s.Kind == SceneryKind.Scenery;
            var outlines = mesh.PartVertices > 0 && cut is null
                ? mesh.Positions.Chunk(mesh.PartVertices).Select(c => Outlines.Hull(c.Select(World).Select(flat))) : [hull];
            foreach (var outline in outlines)
            {
                shapes.Add(new Shape(large ? float.MinValue : depth(pose.Position), outline, structure ? .3f : .15f, large ? .75f : .45f,
                    large || structure ? null : .93f));
            }

            var loops = cut is { } at ? SectionCut.Loops(mesh, World, at) : [];
            if (loops.Count > 0)
            {
                shapes.AddRange(Outlines.Nested([.. loops.Select(l => l.Select(p => flat(new Vector3(0, p.X, p.Y))).ToArray())])
                    .Select(n => new Shape(0, n.Outer, .4f, 0, .6f) { Holes = n.Holes, IsCut = true }));
            }

            Name(s, mesh, World, depth, hull, shapes);
        }

        foreach (var m in rig.Mirrors)
        {
            if (cut is not { } x || m.Corners.Any(c => c.X <= x))
            {
                shapes.Add(new Shape(depth(m.Corners[0]), [.. m.Corners.Select(c => flat(cut is { } at && c.X > at ? c with { X = at } : c))], .35f, .3f,
                    .86f));
            }
        }
    }

    /// <summary>What fixtures hang on is named at its left end, with the height of its underside.</summary>
    private static void Name(SceneryPiece s, SceneMesh mesh, Func<Vector3, Vector3> world, Func<Vector3, float> depth, Vector2[] hull, List<Shape> shapes)
    {
        var (low, high) = (new Vector3(float.MaxValue), new Vector3(float.MinValue));
        foreach (var p in mesh.Positions)
        {
            (low, high) = (Vector3.Min(low, world(p)), Vector3.Max(high, world(p)));
        }

        if (s.Kind == SceneryKind.Structure && Math.Max(high.X - low.X, high.Y - low.Y) > 1.5f)
        {
            var (a, b) = (hull.Aggregate(Vector2.Min), hull.Aggregate(Vector2.Max));
            Vector2[] end = [a, new(Math.Min(b.X, a.X + .2f), b.Y)];
            shapes.Add(new Shape(depth((low + high) / 2), end, 0, 0, null)
            {
                Label = string.Create(CultureInfo.InvariantCulture, $"{s.Name} +{low.Z:0.00}"), IsName = true,
            });
        }
    }

    /// <returns>How many lie nearer than the cut.</returns>
    private static int AddFixtures(RigScene rig, Pose[][] places, List<Shape> shapes, Func<Vector3, Vector2> flat, Func<Vector3, float> depth, float? cut,
        IReadOnlySet<int>? labelled)
    {
        var nearer = 0;
        foreach (var f in rig.Fixtures)
        {
            var nodes = places[f.Index.Value];
            if (cut is { } x && nodes[0].Position.X > x + .02f)
            {
                nearer++;
                continue;
            }

            var hull = Outlines.Hull(f.Mode.Geometry.Where(g => g.Body is not null).SelectMany(g =>
            {
                var at = nodes[g.Index].Compose(g.Body!.Offset);
                return rig.Meshes[g.Body.Mesh].Positions.Select(p => flat(at.TransformPoint(p * g.Body.Size)));
            }));
            if (hull.Length < 3)
            {
                var centre = flat(nodes[0].Position);
                hull = [centre + new Vector2(-.1f, -.1f), centre + new Vector2(.1f, -.1f), centre + new Vector2(.1f, .1f), centre + new Vector2(-.1f, .1f)];
            }

            shapes.Add(new Shape(depth(nodes[0].Position), hull, .25f, 0, 1)
            {
                Label = labelled?.Contains(f.Index.Value) == false ? "" : labelled is null && f.Number.Length > 0 ? f.Number : f.Name,
            });
        }

        return nearer;
    }

    /// <summary>Numbers beside their fixtures; those hidden behind another share its label.</summary>
    /// <returns>How many found no room, and whether any says how many more lie behind.</returns>
    private static (int Crowded, bool Behind) Labels(Sheet sheet, List<Shape> shapes, IReadOnlyList<(string Text, Vector2 Low, Vector2 High)> more)
    {
        var placer = new PageLabels(sheet.RoomLow, sheet.RoomHigh, sheet.TextSize);
        var (numbers, names) = (new LabelGroups(numbers: true), new LabelGroups(numbers: false));
        foreach (var s in shapes.Where(s => s.Label.Length > 0 || s.IsCut).OrderByDescending(s => s.Depth))
        {
            var (low, high) = (sheet.At(s.Outline.Aggregate(Vector2.Min)), sheet.At(s.Outline.Aggregate(Vector2.Max)));
            placer.Occupy(low, high);
            if (s.Label.Length > 0)
            {
                (s.IsName ? names : numbers).Add(s.Label, low, high);
            }
        }

        foreach (var (_, low, high) in more)
        {
            placer.Occupy(low, high);
        }

        foreach (var (text, low, high) in more)
        {
            placer.Place(sheet.Page, text, low, high);
        }

        foreach (var (text, low, high) in numbers.All())
        {
            placer.Place(sheet.Page, text, low, high);
        }

        foreach (var (text, low, high) in names.All())
        {
            placer.Place(sheet.Page, text, low, high, left: true);
        }

        return (placer.Crowded, numbers.AnyShortened);
    }

    /// <param name="Depth">Larger is nearer to who looks.</param>
    /// <param name="Outline">m, in the plane of the drawing.</param>
    private sealed record Shape(float Depth, Vector2[] Outline, float Stroke, float Grey, float? Fill)
    {
        public string Label { get; init; } = "";

        public Vector2[][] Holes { get; init; } = [];

        public bool IsCut { get; init; }

        /// <summary>Drawn as its label alone.</summary>
        public bool IsName { get; init; }
    }
}
