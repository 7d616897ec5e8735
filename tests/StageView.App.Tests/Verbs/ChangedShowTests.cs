using System.Text.Json;

namespace StageView.App.Tests.Verbs;

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
        Assert.Contains("upstage truss: 40 cm lower, height 8.3 m → 7.9 m (10 fixtures)", whole);
        Assert.Contains("fixtures on house truss: mode Zoom → Dimmer (10 fixtures)", whole);
        Assert.Contains(whole, IsTheCue);

        var frames = json.RootElement.GetProperty("frames").EnumerateArray().ToDictionary(f => f.GetProperty("name").GetString()!);
        var steel = Texts(frames["at-9.2.house"].GetProperty("causes"));
        Assert.Contains(steel, c => c.StartsWith("up head 2: Pan", StringComparison.Ordinal) && c.EndsWith("→ 60°", StringComparison.Ordinal));
        Assert.Contains(steel, c => c.StartsWith("upstage truss: 40 cm lower, height", StringComparison.Ordinal));
        Assert.DoesNotContain(steel, c => c.StartsWith("cue ", StringComparison.Ordinal));
        Assert.Contains("fixtures on house truss: mode Zoom → Dimmer (10 fixtures)", Texts(frames["at-3.house"].GetProperty("causes")));
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

    /// <summary>
    /// A show that runs 1.5 s late is laid over the other by what moves in it; what then parts is the turned head alone (and the wall, whose embers have a
    /// clock of their own).
    /// </summary>
    [Fact]
    public void A_late_capture_is_aligned_by_best_match_and_parts_in_what_was_changed()
    {
        var run = CommandRun.Of("shows", show.Capture, show.LateCapture, show.Rig, "--align", "best", "--json");
        Assert.True(run.ExitCode == 1, run.Output + run.Errors);
        using var json = JsonDocument.Parse(run.Output);
        Assert.Equal("by best match: the second capture is 1.5 s later", json.RootElement.GetProperty("alignment").GetString());
        var partings = json.RootElement.GetProperty("partings").EnumerateArray().ToList();
        var pan = Assert.Single(partings, p => p.GetProperty("attribute").GetString() == "Pan");
        Assert.Equal("up head 2", pan.GetProperty("name").GetString());
        Assert.InRange(pan.GetProperty("from").GetDouble(), 5.3, 5.6);
        // Where a fade is, the two captures' ticks leave the last bit of a level.
        Assert.All(partings, p => Assert.True(
            p.GetProperty("name").GetString() == "up head 2" || p.GetProperty("attribute").GetString() == "pixels"
            || Math.Abs(p.GetProperty("first").GetDouble() - p.GetProperty("second").GetDouble()) < 0.01,
            p.ToString()));

        // By the clock nearly everything parts: the alignment did the work.
        using var clock = JsonDocument.Parse(CommandRun.Of("shows", show.Capture, show.LateCapture, show.Rig, "--align", "time", "--json").Output);
        Assert.True(clock.RootElement.GetProperty("partings").GetArrayLength() > 100);
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
        var run = CommandRun.Of(["snap", rig, .. venue is null ? Array.Empty<string>() : ["--venue", venue], "--capture", capture, "--at", "3", "--at", "9.2",
            "--at", "17.3", "--size", "320x180", "--out", folder]);
        run.AssertPlainWords();
        Assert.True(run.ExitCode == 0, run.Output + run.Errors);
    }

    /// <summary>The demo player starts a cue at the tick after its time: 17.025 s for 17 s at 40 a second.</summary>
    private static bool IsTheCue(string text) => text.TrimEnd() == "cue 'mirror moment': starts 0.5 s later: 17.025 s → 17.525 s";

    private static List<string> Texts(JsonElement causes) => [.. causes.EnumerateArray().Select(c => c.GetProperty("text").GetString()!)];
}
