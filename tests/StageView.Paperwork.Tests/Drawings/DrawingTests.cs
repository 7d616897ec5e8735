using System.Globalization;
using System.Numerics;
using System.Text;
using System.Xml.Linq;
using StageView.Ground.Drawings;
using StageView.Ground.Words;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Solids;

namespace StageView.Paperwork.Tests.Drawings;

public sealed class DrawingTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Thousand()
    {
        var text = new StringBuilder("{ \"name\": \"Long hall\", \"hangs\": [\n");
        for (var t = 0; t < 10; t++)
        {
            text.Append(CultureInfo.InvariantCulture,
                $"{{ \"name\": \"head {t}\", \"profile\": \"spot-head\", \"number\": {(100 * t) + 101}, \"row\": {{ \"from\": [-24, "
                + $"{3 * t}, 9], \"to\": [24, {3 * t}, 9], \"count\": 60 }} }},\n");
            text.Append(CultureInfo.InvariantCulture,
                $"{{ \"name\": \"front {t}\", \"profile\": \"front-profile\", \"number\": "
                + $"{(100 * t) + 2001}, \"aim\": [0, 0, 0], \"row\": {{ \"from\": [-23.6, {(3 * t) - .5}, 9], \"to\": [23.6, {(3 * t) - .5}, 9], \"count\": "
                + $"40 }} }},\n");
        }

        text.Append("], \"scenery\": [\n");
        for (var t = 0; t < 10; t++)
        {
            text.Append(CultureInfo.InvariantCulture,
                $"{{ \"name\": \"truss {t}\", \"shape\": \"truss\", \"from\": [-25, {3 * t}, 9.4], \"to\": [25, {3 * t}, 9.4] }},\n");
        }

        return _temp.Load(text.Append("] }").ToString());
    }

    [Fact]
    public void Labels_of_a_thousand_fixtures_lie_on_no_other()
    {
        foreach (var rig in (RigScene[])[Thousand(), Foundry()])
        {
            foreach (var drawing in RigDrawings.All(rig, PaperStamp.Of(rig, "")))
            {
                var labels = DrawingText.Labels(SvgWriter.Write(drawing));
                Assert.True(labels.Count > 10, drawing.Name);
                for (var i = 0; i < labels.Count; i++)
                {
                    for (var k = i + 1; k < labels.Count; k++)
                    {
                        var (a, b) = (labels[i], labels[k]);
                        Assert.False(a.Low.X < b.High.X && a.High.X > b.Low.X && a.Low.Y < b.High.Y && a.High.Y > b.Low.Y,
                            $"{rig.Name}, {drawing.Name}: \"{a.Text}\" lies on \"{b.Text}\"");
                    }
                }

                if (drawing.Name == "plan")
                {
                    var shown = labels.SelectMany(l => DrawingText.Numbers(l.Text)).ToHashSet();
                    Assert.All(rig.Fixtures, f => Assert.Contains(int.Parse(f.Number, CultureInfo.InvariantCulture), shown));
                }
            }
        }
    }

    [Fact]
    public void A_section_cuts_what_it_goes_through_and_leaves_out_what_is_nearer()
    {
        var rig = _temp.Load("""
            { "hangs": [
                { "name": "near", "profile": "front-profile", "number": 1, "at": [3, 0, 5] },
                { "name": "beyond", "profile": "front-profile", "number": 2, "at": [-3, 2, 5] } ],
              "scenery": [
                { "name": "deck", "shape": "box", "at": [0, 3, 0.5], "size": [8, 6, 1] },
                { "name": "near box", "shape": "box", "at": [2, 3, 2], "size": [1, 1, 1] } ] }
            """);
        var svg = SvgWriter.Write(RigDrawings.All(rig, PaperStamp.Of(rig, "")).Single(d => d.Name == "section"));
        var numbers = DrawingText.Labels(svg).SelectMany(l => DrawingText.Numbers(l.Text)).ToList();
        Assert.Contains(2, numbers);
        Assert.DoesNotContain(1, numbers);
        Assert.Contains("1 nearer than the cut", svg, StringComparison.Ordinal);
        Assert.Single(Cuts(svg));

        // At x = 2 both boxes are cut; beyond x = 5 nothing is.
        Assert.Equal(2, Cuts(SvgWriter.Write(RigDrawings.All(rig, PaperStamp.Of(rig, ""), cut: 2).Single(d => d.Name == "section"))).Count);
        var past = SvgWriter.Write(RigDrawings.All(rig, PaperStamp.Of(rig, ""), cut: 5).Single(d => d.Name == "section"));
        Assert.Empty(Cuts(past));
        Assert.Contains(1, DrawingText.Labels(past).SelectMany(l => DrawingText.Numbers(l.Text)));
    }

    [Fact]
    public void Sight_lines_and_audience_are_drawn_where_they_are_wanted()
    {
        var rig = _temp.Load("""
            { "hangs": [ { "name": "a", "profile": "front-profile", "number": 1, "at": [0, -8, 5] }, { "name": "b", "profile": "front-profile", "number": 2,
              "at": [0, 8, 5] } ],
              "volumes": [ { "name": "standing area", "kind": "audience", "at": [0, -4, 1], "size": [4, 6, 2] } ],
              "sightLines": [ { "name": "last row", "eye": [0, -12, 1], "edge": [0, -6, 2] } ] }
            """);
        var drawings = RigDrawings.All(rig, PaperStamp.Of(rig, "")).ToDictionary(d => d.Name, SvgWriter.Write);
        Assert.All(drawings.Values, d => Assert.Contains("standing area", d, StringComparison.Ordinal));
        Assert.Equal([false, false, true], new[] { "plan", "front", "section" }.Select(n => drawings[n].Contains("last row", StringComparison.Ordinal)));
    }

    /// <summary>The deck above is 6 m by 1 m where it is cut.</summary>
    [Fact]
    public void A_cut_has_the_size_of_what_was_cut()
    {
        var mesh = UnitMeshes.All[UnitMeshes.Box];
        var loop = Assert.Single(SectionCut.Loops(mesh, p => (p * new Vector3(8, 6, 1)) + new Vector3(0, 3, .5f), .3f));
        Assert.Equal((new Vector2(0, 0), new Vector2(6, 1)), (loop.Aggregate(Vector2.Min), loop.Aggregate(Vector2.Max)));
        Assert.Equal(6, Math.Abs(Area(loop)), 3);
        Assert.Empty(SectionCut.Loops(mesh, p => p, .6f));

        // A round through its middle: π/4.
        Assert.Equal(Math.PI / 4, Math.Abs(Area(Assert.Single(SectionCut.Loops(UnitMeshes.All[UnitMeshes.Sphere], p => p, 0)))), .02);
    }

    [Fact]
    public void Outlines_within_others_are_hollows()
    {
        static Vector2[] Square(float half) => [new(-half, -half), new(half, -half), new(half, half), new(-half, half)];
        var beside = Square(1).Select(p => p + new Vector2(10, 0)).ToArray();
        var nested = Outlines.Nested([Square(2), Square(3), beside, Square(1)]);
        Assert.Equal([1, 0, 0], nested.OrderByDescending(n => Math.Abs(Area(n.Outer))).Select(n => n.Holes.Length));
        Assert.Equal(3, nested.Count);
    }

    [Theory]
    [InlineData("101-103", "101", "102", "103")]
    [InlineData("7 8 101-104", "102", "7", "103", "8", "101", "104")]
    [InlineData("5 follow spot", "follow spot", "5")]
    public void Numbers_are_told_in_runs(string text, params string[] labels) => Assert.Equal(text, NumberRuns.Of(labels));

    private static RigScene Foundry()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        return rig;
    }

    /// <summary>Cut faces are filled with their own grey, .6; the legend's sample is left out.</summary>
    private static List<XElement> Cuts(string svg)
    {
        var all = XDocument.Parse(svg).Descendants().Where(e => e.Attribute("fill")?.Value == "#999999").ToList();
        return all[..^1];
    }

    private static double Area(Vector2[] p) => p.Select((a, i) => (a.X * p[(i + 1) % p.Length].Y) - (a.Y * p[(i + 1) % p.Length].X)).Sum() / 2;
}
