using System.Text.Json;

namespace StageView.App.Tests.Verbs;

/// <summary>lasers as a user runs it: what it ends with, what it prints, the dossier's file.</summary>
public sealed class LasersVerbTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string Rig(string volumes)
    {
        _folder.File("laser.fixture.jsonc", """
            {
              "name": "Laser",
              "geometry": [{ "name": "aperture", "laser": { "power": 1, "wavelengths": [532], "aperture": 0.005, "divergence": 1 } }],
              "modes": [{ "name": "only", "channels": [{ "attribute": "Dimmer" }] }]
            }
            """);
        return _folder.File("a.rig.jsonc", $$"""
            {
              "name": "Lasers", "profiles": ["."], {{volumes}}
              "hangs": [{ "name": "laser", "profile": "laser", "number": 1, "at": [0, 0, 6], "rotate": [90, 0, 0], "patch": "1.1" }],
              "scenery": [{ "name": "wall", "shape": "plane", "at": [0, 30, 6], "rotate": [90, 0, 0], "size": [60, 30, 1], "albedo": 0.2 }]
            }
            """);
    }

    private static string Row(double z) => string.Create(System.Globalization.CultureInfo.InvariantCulture,
        $$"""
        "volumes": [{ "name": "row", "kind": "audience", "at": [0, 15, {{z}}], "size": [4, 4, 2] }],
        """);

    // The level ray at 6 m is 4 m above the box (its width of 35 mm at the wall taken off): not listed with the limit of 3 m, listed with 5 m.
    [Theory]
    [InlineData(0, 1, "--full", "1")]
    [InlineData(1, 6, "--full", "1")]
    [InlineData(1, 1, "--full", "1", "--limit", "laserHeight=5")]
    [InlineData(2, 1)]
    [InlineData(2, 1, "--full", "1", "--limit", "laserHight=5")]
    [InlineData(2, 1, "--full", "1", "--limit", "laserHeight=-1")]
    [InlineData(2, 1, "--full", "1", "--limit", "laserHeight")]
    [InlineData(2, 1, "--full", "1", "--every", "0")]
    public void It_ends_as_the_answer_is(int exit, double z, params string[] more)
    {
        var run = CommandRun.Of(["lasers", Rig(Row(z)), .. more]);
        Assert.True(run.ExitCode == exit, run.Output + run.Errors);
        if (exit < 2)
        {
            Assert.Contains("218.6", run.Output.Replace("219", "218.6", StringComparison.Ordinal), StringComparison.Ordinal);
            Assert.Contains("not checked: ", run.Output, StringComparison.Ordinal);
            Assert.Contains("nothing here says that anything is safe", run.Output, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Without_volumes_or_lasers_nothing_could_be_checked()
    {
        var run = CommandRun.Of("lasers", Rig(""), "--full", "1");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("the rig names no volumes", run.Output, StringComparison.Ordinal);
        run = CommandRun.Of("lasers", Repo.File("scenes", "one-mirror", "one-mirror.rig.jsonc"));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("has no laser: nothing could be checked", run.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Json_says_what_was_found_with_which_limits_and_what_was_not_checked()
    {
        var run = CommandRun.Of("lasers", Rig(Row(6)), "--full", "1", "--json");
        var answer = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal(218.65, answer.GetProperty("lasers")[0].GetProperty("hazardDistance").GetDouble(), 0.1);
        Assert.Equal("wall", answer.GetProperty("ends")[0].GetProperty("surface").GetString());
        Assert.True(answer.GetProperty("volumes")[0].GetProperty("enters").GetBoolean());
        Assert.Contains(answer.GetProperty("limits").EnumerateArray(), l => l.GetProperty("key").GetString() == "laserHeight"
            && l.GetProperty("source").GetString()!.Length > 0);
        Assert.NotEmpty(answer.GetProperty("notChecked").EnumerateArray());
        Assert.Contains("laser safety officer", answer.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_dossier_of_the_demo_is_a_PDF_with_plan_and_side_view()
    {
        var file = _folder.File("lasers.pdf");
        var run = CommandRun.Of("lasers", Repo.File("scenes", "foundry", "foundry.rig.jsonc"), "--capture",
            Repo.File("scenes", "foundry", "foundry.pcapng"), "--at", "cue:lasers", "--dossier", file, "--date", "draft");
        Assert.True(run.ExitCode == 0, run.Output + run.Errors);
        var text = System.Text.Encoding.Latin1.GetString(File.ReadAllBytes(file));
        Assert.StartsWith("%PDF", text, StringComparison.Ordinal);
        // Two sheets of A3 (1190.55 by 841.89 points) between pages of A4.
        Assert.Equal(2, System.Text.RegularExpressions.Regex.Count(text, @"/MediaBox \[0 0 (1190|841)\.\d+ (841|1190)\.\d+\]"));
    }
}
