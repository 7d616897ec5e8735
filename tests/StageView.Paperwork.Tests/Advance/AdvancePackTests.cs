using StageView.Ground.Drawings;
using StageView.Paperwork.Advance;
using StageView.Paperwork.Changes;
using StageView.Paperwork.Lists;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Advance;

/// <summary>The demo rig two cities on, as its advance sheet tells it.</summary>
public sealed class AdvancePackTests
{
    private static RigScene Open(string? venue)
    {
        var options = RigLoadOptions.Default with { Venue = venue };
        Assert.True(RigLoader.TryLoad(Repo.File("scenes", "foundry", "foundry.rig.jsonc"), options, out var rig, out var problems),
            string.Join('\n', problems));
        return rig;
    }

    private static string Said(IEnumerable<Drawing> pages) =>
        string.Join('\n', pages.SelectMany(p => p.Shapes.Where(s => s.Text.Length > 0).Select(s => s.Text)));

    [Fact]
    public void It_tells_what_comes_what_is_asked_for_and_what_is_different()
    {
        var (tour, venue) = (Open(null), Open(Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc")));
        var pages = AdvancePack.Pages(tour, venue, tour, new PaperStamp(tour.Name, venue.Venue, "first draft", "0123abcd"));
        var said = Said(pages);
        foreach (var words in (string[])["Foundry at Two cities on", "What the tour brings", "Beside these fixtures", "house bridge",
            "Different from the tour's own rig", "ladder head 7", "a qualified rigger decides", "laser safety officer",
            "first draft, made from files 0123abcd", "dashed: the tour's own rig"])
        {
            Assert.Contains(words, said, StringComparison.Ordinal);
        }

        // 21 of the tour's 24 heads are left; the downstage truss hangs at 6.9 m, its heads .22 m lower.
        Assert.Contains("\n21\n", said, StringComparison.Ordinal);
        Assert.Contains("\n6.68\n7.68\n", said, StringComparison.Ordinal);
        Assert.Equal(2, pages.Count(p => p.Name is "plan" or "side"));
    }

    [Fact]
    public void What_the_house_brings_is_asked_for()
    {
        using var folder = new TempFolder();
        var venue = Open(folder.File("house.venue.jsonc", $$"""
            { "name": "House", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
              "hangs": [{ "name": "balcony", "profile": "front-profile", "number": 901, "at": [0, -11, 5], "aim": [0, 2, 1], "patch": "30.1" }] }
            """));
        var said = Said(AdvancePack.Pages(Open(null), venue, null, new PaperStamp("a", "b", "", "c")));
        Assert.Contains("30.1", said, StringComparison.Ordinal);
        Assert.Contains("Beside these fixtures", said, StringComparison.Ordinal);
        Assert.DoesNotContain("dashed:", said, StringComparison.Ordinal);
    }

    [Fact]
    public void Front_light_that_was_worked_out_is_asked_for_by_lantern_and_by_place()
    {
        var tour = Open(null);
        var asked = new FrontLightSection("At least 300 lx. 2 of 3 positions hold that.",
            new PaperTable("used", "", ["lantern", "aimed at"], [["bridge lantern 2", "mark 1"]], []),
            new PaperTable("unheld", "", ["position", "why"], [["mark 3", "1 behind black header"]], []),
            new PaperTable("hang", "", ["at"], [["-3.00, -2.00, 6.00"]], []));
        var said = Said(AdvancePack.Pages(tour, tour, null, new PaperStamp("a", "b", "", "c"), asked));
        foreach (var words in (string[])["Front light asked for", "2 of 3 positions", "bridge lantern 2", "1 behind black header", "To be hung beside these",
            "-3.00, -2.00, 6.00", "decided on site"])
        {
            Assert.Contains(words, said, StringComparison.Ordinal);
        }

        said = Said(AdvancePack.Pages(tour, tour, null, new PaperStamp("a", "b", "", "c"),
            asked with { Unheld = asked.Unheld with { Rows = [] }, ToHang = asked.ToHang with { Rows = [] } }));
        Assert.Contains("No fixtures of its own", said, StringComparison.Ordinal);
        Assert.DoesNotContain("Not held", said, StringComparison.Ordinal);
        Assert.DoesNotContain("To be hung", said, StringComparison.Ordinal);
        Assert.DoesNotContain("Front light asked for", Said(AdvancePack.Pages(tour, tour, null, new PaperStamp("a", "b", "", "c"))), StringComparison.Ordinal);
    }

    [Fact]
    public void Of_several_with_one_name_those_that_stand_where_they_stood_are_the_same()
    {
        var changes = RigChanges.Between(Open(null), Open(Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc"))).Select(c => c.ToString()).ToList();
        Assert.DoesNotContain(changes, c => c.Contains("scenery ladder moves", StringComparison.Ordinal));
        Assert.Contains(changes, c => c.Contains("ladder foot", StringComparison.Ordinal) && c.Contains("gone", StringComparison.Ordinal));
    }
}
