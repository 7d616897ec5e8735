using System.Text.Json;
using System.Xml.Linq;
using StageView.Show.Tests;

namespace StageView.App.Tests.Verbs;

/// <summary>flashes as a user runs it, on a wall of pixels alone.</summary>
public sealed class FlashesVerbTests : IDisposable
{
    private const string Seat = """
        "volumes": [{ "name": "floor", "kind": "audience", "at": [0, -6, 1], "size": [4, 4, 2], "seats": [[0, -6, 1.5]], "lookAt": [0, 0, 1.5] }]
        """;

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string Rig(string places = Seat) => _folder.File("wall.rig.jsonc", $$"""
        {
          "name": "wall", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "haze": { "extinction": 0 },
          "hangs": [{ "name": "facet", "profile": "wall-facet", "number": 1, "at": [0, 0, 1.5], "rotate": [-90, 0, 0], "patch": "1.1" }], {{places}}
        }
        """);

    /// <summary>On for so many packets of 1/30 s, then off for as many.</summary>
    private string Capture(int half) =>
        LevelsCapture.Write(_folder.File("wall.pcapng"), 2, 30, i => LevelsCapture.Even(510, half > 0 && i / half % 2 == 0 ? 255 : 0));

    [Fact]
    public void A_strobing_wall_ends_with_one_and_tells_all_it_checked()
    {
        var (svg, pdf, notice) = (_folder.File("line.svg"), _folder.File("line.pdf"), _folder.File("door.txt"));
        _folder.File("wall.cues.jsonc", """{ "cues": [{ "name": "burst", "time": 0.5 }] }""");
        var run = CommandRun.Of("flashes", Rig(), "--capture", Capture(1), "--timeline", svg, "--notice", notice, "--json");
        Assert.True(run.ExitCode == 1, run.Output + run.Errors);
        var answer = JsonDocument.Parse(run.Output).RootElement;
        Assert.True(answer.GetProperty("anythingChecked").GetBoolean());
        var place = answer.GetProperty("places").EnumerateArray().Single();
        Assert.InRange(place.GetProperty("mostGeneral").GetInt32(), 14, 15);
        Assert.Equal("general", place.GetProperty("spells")[0].GetProperty("kind").GetString());
        Assert.True(place.GetProperty("comfort").GetProperty("illuminance").GetProperty("points").GetArrayLength() > 10);
        Assert.Equal("burst", answer.GetProperty("cues")[0].GetProperty("name").GetString());
        var keys = answer.GetProperty("limits").EnumerateArray().Select(l => l.GetProperty("key").GetString()).ToHashSet();
        var used = answer.GetProperty("checked").EnumerateArray().SelectMany(c => c.GetProperty("limits").EnumerateArray());
        Assert.All(used, k => Assert.Contains(k.GetString(), keys));
        Assert.All(answer.GetProperty("limits").EnumerateArray(), l => Assert.NotEqual("", l.GetProperty("source").GetString()));
        Assert.True(answer.GetProperty("notChecked").GetArrayLength() > 5);
        Assert.Contains(XDocument.Load(svg).Descendants(), e => e.Name.LocalName == "text" && e.Value == "floor");
        Assert.StartsWith("NOTICE: FLASHING LIGHT", File.ReadAllText(notice), StringComparison.Ordinal);
        Assert.Equal(1, CommandRun.Of("flashes", Rig(), "--capture", Capture(1), "--timeline", pdf).ExitCode);
        Assert.StartsWith("%PDF", File.ReadAllText(pdf), StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_above_the_limits_ends_with_nought_and_promises_nothing()
    {
        var notice = _folder.File("door.txt");
        var run = CommandRun.Of("flashes", Rig(), "--capture", Capture(0), "--notice", notice);
        Assert.True(run.ExitCode == 0, run.Output + run.Errors);
        Assert.Contains("no promise", run.Output, StringComparison.Ordinal);
        Assert.Contains("not checked: ", run.Output, StringComparison.Ordinal);
        Assert.Contains("limit flashes = 3", run.Output, StringComparison.Ordinal);
        Assert.Contains("has found nothing above its limits", File.ReadAllText(notice), StringComparison.Ordinal);
    }

    [Fact]
    public void A_rig_without_places_ends_with_two_and_says_why()
    {
        var run = CommandRun.Of("flashes", Rig("\"notes\": \"\""), "--capture", Capture(1));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("nothing could be checked", run.Output, StringComparison.Ordinal);
        Assert.Contains("the rig names no audience volume", run.Output, StringComparison.Ordinal);
        var json = JsonDocument.Parse(CommandRun.Of("flashes", Rig("\"notes\": \"\""), "--capture", Capture(1), "--json").Output).RootElement;
        Assert.False(json.GetProperty("anythingChecked").GetBoolean());
        Assert.Equal(2, json.GetProperty("notChecked").GetArrayLength());
    }

    [Fact]
    public void A_limit_of_the_command_line_stands_over_the_rig_s()
    {
        var rig = Rig(Seat + """, "limits": { "flashes": 100, "strobe": 100 }""");
        Assert.Equal(0, CommandRun.Of("flashes", rig, "--capture", Capture(1)).ExitCode);
        var run = CommandRun.Of("flashes", rig, "--capture", Capture(1), "--limit", "flashes=2", "--limit", "strobe=50");
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("limit flashes = 2", run.Output, StringComparison.Ordinal);
        Assert.Contains("limit strobe = 50", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--limit", "flahses=2", "did you mean flashes?")]
    [InlineData("--limit", "flashes=2000", "takes a whole number, 0 to 100")]
    [InlineData("--limit", "flashes=2.5", "takes a whole number, 0 to 100")]
    [InlineData("--limit", "strobe", "write KEY=VALUE")]
    [InlineData("--every", "0.5", "--every takes")]
    [InlineData("--from", "9", "--to must lie after --from")]
    [InlineData("--timeline", "a.png", "ends in .svg or .pdf")]
    public void Wrong_questions_get_one_plain_line(string option, string value, string says)
    {
        var run = CommandRun.Of("flashes", Rig(), "--capture", Capture(1), option, value);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }
}
