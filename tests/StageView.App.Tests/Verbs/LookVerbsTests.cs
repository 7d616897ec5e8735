using System.Text.Json;

namespace StageView.App.Tests.Verbs;

/// <summary>levels, explain and moves, as a user runs them.</summary>
public sealed class LookVerbsTests
{
    private const string Rig = "scenes/foundry/foundry.rig.jsonc";
    private const string Capture = "scenes/foundry/foundry.pcapng";

    [Fact]
    public void Levels_of_a_look_by_hand()
    {
        using var folder = new TempFolder();
        var look = folder.File("front.look.jsonc", """{ "set": [ { "fixtures": "101", "dimmer": "50%", "pan": "27deg" } ] }""");
        var run = CommandRun.Of("levels", Rig, look, "--fixtures", "101", "--json");
        Assert.Equal(0, run.ExitCode);
        using var json = JsonDocument.Parse(run.Output);
        var channels = json.RootElement[0].GetProperty("channels").EnumerateArray().ToDictionary(c => c.GetProperty("channel").GetString()!);
        // 27° of ±270° is 55 % of 65535: 36044 = 0x8CCC. Half of 65535 rounds to 32768 = 0x8000.
        Assert.Equal([0x8C, 0xCC], channels["yoke_Pan"].GetProperty("bytes").EnumerateArray().Select(b => b.GetInt32()));
        Assert.Equal([0x80, 0x00], channels["lens_Dimmer"].GetProperty("bytes").EnumerateArray().Select(b => b.GetInt32()));
        Assert.Equal("1.1", channels["yoke_Pan"].GetProperty("addresses")[0].GetString());
    }

    // A wall of pixels gave the table's header alone.
    [Fact]
    public void Levels_of_a_wall_are_its_pixels_in_ranges()
    {
        using var folder = new TempFolder();
        var look = folder.File("wall.look.jsonc", """{ "set": [ { "fixtures": "facet 1", "colour": "#ff0000" } ] }""");
        var run = CommandRun.Of("levels", Rig, look, "--fixtures", "facet 1");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("face pixels 1-170", run.Output, StringComparison.Ordinal);
        Assert.Contains("11.1-11.510", run.Output, StringComparison.Ordinal);
        Assert.Contains("255 0 0", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_look_with_mistakes_names_each()
    {
        using var folder = new TempFolder();
        var look = folder.File("bad.look.jsonc", """{ "set": [ { "fixtures": "101", "tilt": 200 }, { "fixtures": "ghosts", "dimmer": 1 } ] }""");
        var run = CommandRun.Of("levels", Rig, look);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("$.set[0].tilt: warning: ladder head 1: Tilt goes from -135 to 135, not to 200", run.Errors, StringComparison.Ordinal);
        Assert.Contains("$.set[1].fixtures: error: no fixture, number or group is called 'ghosts'", run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    [Fact]
    public void Explain_goes_from_the_source_to_the_beam()
    {
        var run = CommandRun.Of("explain", Rig, "1.45", "--capture", Capture, "--at", "cue:furnace");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("from sACN 'foundry desk' at 10.20.0.10, priority 100", run.Output, StringComparison.Ordinal);
        Assert.Contains("yoke_Pan", run.Output, StringComparison.Ordinal);
        Assert.Contains("lens: ", run.Output, StringComparison.Ordinal);
        Assert.Equal(1, CommandRun.Of("explain", Rig, "40.5").ExitCode);
        var nobody = CommandRun.Of("explain", Rig, "nobody");
        Assert.Equal(2, nobody.ExitCode);
        nobody.AssertPlainWords();
    }

    [Fact]
    public void Moves_says_no_when_something_is_late()
    {
        var run = CommandRun.Of("moves", Rig, "--capture", Capture, "--json");
        Assert.Equal(1, run.ExitCode);
        using var json = JsonDocument.Parse(run.Output);
        Assert.True(json.RootElement.GetProperty("late").GetArrayLength() > 0);
        Assert.True(json.RootElement.GetProperty("dark").GetArrayLength() > 20);
        Assert.Equal(0, CommandRun.Of("moves", Rig, "--capture", Capture, "--late", "30", "--off", "180").ExitCode);
    }
}
