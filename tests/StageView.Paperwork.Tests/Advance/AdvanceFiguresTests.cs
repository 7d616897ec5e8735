using StageView.Ground.Drawings;
using StageView.Paperwork.Advance;
using StageView.Paperwork.Lists;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Advance;

/// <summary>An advance sheet's figures, added up by hand: heads of 620 W and 24.5 kg, a laser of 160 W, 9 kg and 5 × .9 W of light.</summary>
public sealed class AdvanceFiguresTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private IReadOnlyList<Drawing> Pages(string venue, string? yesterday = null)
    {
        var rig = _folder.File("a.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
              "parts": [{ "name": "truss", "at": [0, 0, 8], "scenery": [
                  { "name": "bar", "shape": "box", "size": [8, 0.3, 0.3], "kind": "structure", "weight": 60 }],
                "hangs": [
                  { "name": "left", "profile": "spot-head", "number": 1, "at": [-3, 0, 0], "patch": "1.1", "phase": 1 },
                  { "name": "right", "profile": "spot-head", "number": 2, "at": [3, 0, 0], "patch": "3.1", "phase": 2 },
                  { "name": "fan", "profile": "laser-fan", "number": 3, "patch": "4.1", "phase": 2 }] }],
              "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }] }
            """);
        RigScene Open(string? file)
        {
            Assert.True(RigLoader.TryLoad(rig, RigLoadOptions.Default with { Venue = file }, out var scene, out var problems), string.Join('\n', problems));
            return scene;
        }

        return AdvancePack.Pages(Open(null), Open(_folder.File("b.venue.jsonc", venue)),
            yesterday is null ? null : Open(_folder.File("c.venue.jsonc", yesterday)),
            new PaperStamp("Small", "There", "", "0123abcd"));
    }

    private static string Said(IEnumerable<Drawing> pages) =>
        string.Join('\n', pages.SelectMany(p => p.Shapes.Where(s => s.Text.Length > 0).Select(s => s.Text)));

    [Fact]
    public void Trims_loads_phases_universes_and_notices()
    {
        var said = Said(Pages("""{ "name": "There", "move": [{ "what": "truss", "trim": 6.5 }] }"""));

        // Truss: 60 + 2 × 24.5 + 9 kg at 6.5 m, 8 m in the tour's own rig; L1 620 W, L2 620 + 160 W.
        Assert.Contains("\ntruss\n6.50\n8.00\n3\n118\n", said, StringComparison.Ordinal);
        Assert.Contains("\nL1\n1\n0.62\nL2\n2\n0.78\n", said, StringComparison.Ordinal);
        Assert.Contains("\nbar\n1\n60\n", said, StringComparison.Ordinal);
        Assert.Contains("Mirrors: 1, panel.", said, StringComparison.Ordinal);
        Assert.Contains("Data: lines for 3 universes, 1, 3 to 4.", said, StringComparison.Ordinal);
        Assert.Contains("Lasers: 1 × Laser fan (4.5 W of light each, over 5 apertures).", said.Replace('\n', ' '), StringComparison.Ordinal);
        Assert.Contains("Strobes: 3 fixtures can flash.", said.Replace('\n', ' '), StringComparison.Ordinal);
    }

    [Fact]
    public void Differences_from_yesterday_are_told_beside_those_from_the_tours_own_rig()
    {
        var said = Said(Pages("""{ "name": "There", "remove": ["right"] }""", """{ "name": "Low hall", "remove": ["left"] }"""));
        var (own, yesterday) = (said.IndexOf("Different from the tour's own rig", StringComparison.Ordinal),
            said.IndexOf("Different from Low hall", StringComparison.Ordinal));
        Assert.InRange(own, 0, yesterday);
        Assert.Contains("right", said[own..yesterday], StringComparison.Ordinal);
        Assert.DoesNotContain("left", said[own..yesterday], StringComparison.Ordinal);
        Assert.Contains("left", said[yesterday..], StringComparison.Ordinal);
    }

    // What hangs as in the tour's own rig is drawn once; what doesn't, a second time in dashes, which are many short lines.
    [Theory]
    [InlineData("\"remove\": []", 0)]
    [InlineData("\"move\": [{ \"what\": \"truss\", \"trim\": 6.5 }]", 1)]
    [InlineData("\"remove\": [\"left\"]", 1)]
    [InlineData("\"move\": [{ \"what\": \"panel\", \"by\": [0, 0, -1.5] }]", 1)]
    public void The_tours_own_structures_mirrors_and_fixtures_are_dashed_where_they_hang_elsewhere(string keys, int dashed)
    {
        var drawings = Pages($$"""{ "name": "There", {{keys}} }""").Where(p => p.Name is "plan" or "side").ToList();
        Assert.Equal(2, drawings.Count);
        foreach (var drawing in drawings)
        {
            Assert.Equal(dashed == 1, drawing.Shapes.Any(s => s.Text.StartsWith("dashed:", StringComparison.Ordinal)));
        }

        // The same venue's drawing without the overlay has fewer lines.
        var plain = Pages("""{ "name": "There", "remove": [] }""").Where(p => p.Name is "plan" or "side").Sum(p => p.Shapes.Count);
        Assert.Equal(dashed == 1, drawings.Sum(p => p.Shapes.Count) > plain);
    }
}
