using System.Text.Json;

namespace StageView.App.Tests.Verbs;

/// <summary>A venue file is laid over the rig by each verb that reads one; presets by those that look at light or measure it.</summary>
public sealed class VenueAndPresetTests : IDisposable
{
    private const string Rig = """
        { "name": "Tour",
          "parts": [ { "name": "truss", "at": [0, 0, 8], "hangs": [ { "name": "front", "profile": "front-profile", "number": 1, "patch": "1.1" } ] } ],
          "scenery": [ { "name": "floor", "shape": "box", "at": [0, 0, -0.1], "size": [10, 10, 0.2] } ],
          "areas": [ { "name": "spot", "corner": [-0.01, 0, 0.01], "across": [0.02, 0, 0], "points": [2] } ],
          "haze": { "extinction": 0.001 },
          "presets": [ { "name": "thick", "haze": { "extinction": 0.2 } } ],
          "cameras": [ { "name": "house", "at": [0, -6, 2], "lookAt": [0, 0, 2] } ] }
        """;

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>What each verb needs beside the rig; a venue file that isn't there must be what it complains of.</summary>
    [Theory]
    [InlineData("check")]
    [InlineData("patch")]
    [InlineData("paperwork --out OUT")]
    [InlineData("export --out OUT/a.mvr")]
    [InlineData("levels LOOK")]
    [InlineData("explain front")]
    [InlineData("moves --capture CAPTURE")]
    [InlineData("lux --full 1")]
    [InlineData("bounces --full 1")]
    [InlineData("audit --full 1")]
    [InlineData("cautions --full 1")]
    [InlineData("aim --fixture 1 --at 0,0,0")]
    [InlineData("frontlight --least 300")]
    [InlineData("render --out OUT/a.png")]
    [InlineData("snap --capture CAPTURE --out OUT")]
    [InlineData("watch --for 1s")]
    [InlineData("record --out OUT/a.pcapng --for 1s")]
    public void Every_verb_that_reads_a_rig_reads_the_venue(string verb)
    {
        var words = verb.Split(' ');
        var look = _folder.File("a.look.jsonc", "{ \"set\": [ { \"fixtures\": \"1\", \"dimmer\": 1 } ] }");
        var run = CommandRun.Of(
            [words[0], _folder.File("a.rig.jsonc", Rig), .. words[1..].Select(w => w.Replace("OUT", _folder.Path, StringComparison.Ordinal)
                .Replace("LOOK", look, StringComparison.Ordinal).Replace("CAPTURE", Repo.File("scenes", "foundry", "foundry.pcapng"),
                    StringComparison.Ordinal)), "--venue", "no-such.venue.jsonc"]);
        Assert.NotEqual(0, run.ExitCode);
        Assert.Contains("no-such.venue.jsonc", run.Output + run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    [Fact]
    public void The_trim_and_the_haze_change_what_is_measured()
    {
        var rig = _folder.File("a.rig.jsonc", Rig);
        var venue = _folder.File("low.venue.jsonc", "{ \"name\": \"Low\", \"move\": [ { \"what\": \"truss\", \"trim\": 4.9 } ] }");
        var tour = Lux(rig);
        var low = Lux(rig, "--venue", venue);
        var thick = Lux(rig, "--preset", "Thick");

        // The lens hangs .915 m below the truss: inverse square of 7.05 m and 3.95 m or so from its apex behind the lens.
        Assert.InRange(low / tour, 2.2, 4.2);

        // exp(-(.2 - .001)·7) of the light is left, and of what was scattered less than half comes down beside it.
        var straight = Math.Exp(-.199 * 7.085);
        Assert.InRange(thick / tour, straight + .01, straight + ((1 - straight) / 2));
        var unknown = CommandRun.Of("lux", rig, "--full", "1", "--preset", "thin");
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("has no preset of that name; it has thick", unknown.Errors, StringComparison.Ordinal);
    }

    private static double Lux(params string[] args)
    {
        var run = CommandRun.Of(["lux", args[0], "--on", "spot", "--full", "1", "--json", .. args[1..]]);
        Assert.True(run.ExitCode == 0, run.Errors);
        using var answer = JsonDocument.Parse(run.Output);
        return Find(answer.RootElement, "average") ?? throw new InvalidOperationException(run.Output);
    }

    private static double? Find(JsonElement e, string name) => e.ValueKind switch
    {
        JsonValueKind.Object => e.EnumerateObject()
            .Select(p => p.Name.StartsWith(name, StringComparison.OrdinalIgnoreCase) && p.Value.ValueKind == JsonValueKind.Number ? p.Value.GetDouble()
                : Find(p.Value, name)).FirstOrDefault(v => v is not null),
        JsonValueKind.Array => e.EnumerateArray().Select(i => Find(i, name)).FirstOrDefault(v => v is not null),
        _ => null,
    };
}
