using System.Text.Json;

namespace StageView.App.Tests.Snap;

public sealed class ChangedShowTests(ChangedShow show) : IClassFixture<ChangedShow>
{
    /// <summary>The four planted changes are all named, in words a person understands, in the frames that they are seen in.</summary>
    [Fact]
    public void The_report_names_each_planted_cause()
    {
        var (before, after, report) = (Path.Combine(show.Folder, "base"), Path.Combine(show.Folder, "new"), Path.Combine(show.Folder, "report"));
        Snap(show.Rig, null, show.Capture, before);
        Snap(show.NewRig, show.NewVenue, show.NewCapture, after);
        var run = CommandRun.Of("compare", before, after, "--report", report);
        run.AssertPlainWords();
        Assert.True(run.ExitCode == 1, run.Output + run.Errors);
        using var json = JsonDocument.Parse(File.ReadAllText(Path.Combine(report, "report.json")));
        var whole = Texts(json.RootElement.GetProperty("causes"));
        Assert.Contains("upstage truss: height 8.08 m → 7.68 m (10 fixtures)", whole);
        Assert.Contains("house truss: mode Zoom → Dimmer (10 fixtures)", whole);
        Assert.Contains(whole, IsTheCue);

        var frames = json.RootElement.GetProperty("frames").EnumerateArray().ToDictionary(f => f.GetProperty("name").GetString()!);
        var steel = Texts(frames["at-9.2.house"].GetProperty("causes"));
        Assert.Contains(steel, c => c.StartsWith("up head 2: Pan", StringComparison.Ordinal) && c.EndsWith("→ 60°", StringComparison.Ordinal));
        Assert.Contains(steel, c => c.StartsWith("upstage truss: height", StringComparison.Ordinal));
        Assert.DoesNotContain(steel, c => c.StartsWith("cue ", StringComparison.Ordinal));
        Assert.Contains("house truss: mode Zoom → Dimmer (10 fixtures)", Texts(frames["at-3.house"].GetProperty("causes")));
        Assert.Contains(Texts(frames["at-17.3.house"].GetProperty("causes")), IsTheCue);

        // No other head is blamed for the frame in which one was turned.
        Assert.DoesNotContain(steel, c => c.Contains(": Pan", StringComparison.Ordinal) && !c.StartsWith("up head 2:", StringComparison.Ordinal));
    }

    [Fact]
    public void Two_captures_part_where_the_pan_and_the_time_were_changed()
    {
        var run = CommandRun.Of("shows", show.Capture, show.NewCapture, show.Rig);
        run.AssertPlainWords();
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("aligned by timecode", run.Output, StringComparison.Ordinal);
        Assert.Contains(run.Output.Split('\n'), IsTheCue);
        Assert.Matches(@"5\.\d\d to \d+\.\d\d s  up head 2: Pan -?[\d.]+ deg -> -?[\d.]+ deg", run.Output);
        Assert.Equal(0, CommandRun.Of("shows", show.Capture, show.Capture, show.Rig).ExitCode);
    }

    [Fact]
    public void A_wrong_question_gets_one_line()
    {
        var run = CommandRun.Of("compare", show.Folder + "/nothing", show.Folder);
        run.AssertPlainWords();
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("there is no such folder of frames", run.Errors, StringComparison.Ordinal);
    }

    private static void Snap(string rig, string? venue, string capture, string folder)
    {
        var run = CommandRun.Of(["snap", rig, .. venue is null ? Array.Empty<string>() : ["--venue", venue], "--capture", capture, "--at", "3", "--at", "9.2", "--at", "17.3", "--size", "320x180", "--out", folder]);
        run.AssertPlainWords();
        Assert.True(run.ExitCode == 0, run.Output + run.Errors);
    }

    /// <summary>The demo player starts a cue at the tick after its time: 17.025 s for 17 s at 40 a second.</summary>
    private static bool IsTheCue(string text) => text.TrimEnd() == "cue 'mirror moment': starts 0.5 s later: 17.025 s → 17.525 s";

    private static List<string> Texts(JsonElement causes) => [.. causes.EnumerateArray().Select(c => c.GetProperty("text").GetString()!)];
}
