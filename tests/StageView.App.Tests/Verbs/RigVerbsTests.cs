using System.Text.Json;

namespace StageView.App.Tests.Verbs;

public sealed class RigVerbsTests : IDisposable
{
    private static readonly string Foundry = Path.Combine("scenes", "foundry", "foundry.rig.jsonc");
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_new_rig_checks_clean_alone_and_in_its_venue()
    {
        var at = _temp.File("mine");
        Assert.Equal(0, CommandRun.Of("new", at).ExitCode);
        var rig = Path.Combine(at, "show.rig.jsonc");
        var check = CommandRun.Of("check", rig);
        Assert.True(check.ExitCode == 0, check.Output + check.Errors);
        var venue = CommandRun.Of("check", rig, "--venue", Path.Combine(at, "house.venue.jsonc"));
        Assert.True(venue.ExitCode == 0, venue.Output + venue.Errors);
        Assert.Contains("\"front truss\" trimmed from 6 to 5.2 m (low roof)", venue.Output, StringComparison.Ordinal);
        var again = CommandRun.Of("new", at);
        Assert.Equal(2, again.ExitCode);
        again.AssertPlainWords();
    }

    [Theory]
    [InlineData("rig")]
    [InlineData("fixture")]
    [InlineData("venue")]
    public void Schemas_are_json(string kind)
    {
        var run = CommandRun.Of("schema", kind);
        Assert.Equal("object", JsonDocument.Parse(run.Output).RootElement.GetProperty("type").GetString());
    }

    [Fact]
    public void Patch_prints_universes_and_suggests()
    {
        var run = CommandRun.Of("patch", Foundry, "--json");
        Assert.Equal(0, run.ExitCode);
        Assert.Equal(20, JsonDocument.Parse(run.Output).RootElement.GetProperty("universes").GetArrayLength());
        Assert.Equal(0, CommandRun.Of("patch", Foundry, "--suggest", "--own-universe", "globes").ExitCode);
        var wrong = CommandRun.Of("patch", Foundry, "--suggest", "--own-universe", "nobody");
        Assert.Equal(2, wrong.ExitCode);
        wrong.AssertPlainWords();
    }

    [Fact]
    public void Paperwork_is_written()
    {
        var at = _temp.File("paper");
        Assert.Equal(0, CommandRun.Of("paperwork", Foundry, "--out", at).ExitCode);
        foreach (var name in (string[])["patch-list.csv", "universes.csv", "hang-list.csv", "power.csv", "weight.csv", "counts.csv", "lists.html", "lists.pdf",
            "plan.svg", "front.svg", "section.svg", "drawings.pdf"])
        {
            Assert.True(new FileInfo(Path.Combine(at, name)).Length > 100, name);
        }
    }

    [Fact]
    public void A_rig_goes_out_as_mvr_and_comes_in_again()
    {
        var mvr = _temp.File("foundry.mvr");
        Assert.Equal(0, CommandRun.Of("export", Foundry, "--out", mvr).ExitCode);
        var at = _temp.File("in");
        var import = CommandRun.Of("import", mvr, "--out", at);
        Assert.True(import.ExitCode == 0, import.Output + import.Errors);
        Assert.Contains("74 fixtures", import.Output, StringComparison.Ordinal);
        var bad = CommandRun.Of("import", Path.Combine(Repo.Root, "README.md"), "--out", _temp.File("bad"));
        Assert.Equal(2, bad.ExitCode);
        bad.AssertPlainWords();
        Assert.Contains("not a zip archive", bad.Errors, StringComparison.Ordinal);
    }
}
