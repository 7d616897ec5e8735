using StageView.Snapshot.Frames;

namespace StageView.App.Tests.Verbs;

/// <summary>What is drawn, and what is taken over, when a little of a show changed.</summary>
public sealed class SnapAgainstTests : IDisposable
{
    private const string Cues = """
        {
          "rate": 40, "length": 8,
          "points": { "middle": [0, 2, 1.2] },
          "cues": [
            { "time": 0, "name": "dark", "fade": 0, "set": [{ "fixtures": "all", "dimmer": 0, "zoom": "16deg", "aim": "middle" }] },
            { "time": 1, "name": "one", "fade": 0, "set": [{ "fixtures": "101", "dimmer": 0.8 }] },
            { "time": 5, "name": "two", "fade": 0, "set": [{ "fixtures": "101", "dimmer": 0 }, { "fixtures": "102-103", "dimmer": 0.6 }] }
          ]
        }
        """;

    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Only_what_changed_is_drawn_and_a_folder_holds_what_was_asked_last()
    {
        Assert.Equal(0, CommandRun.Of("new", _temp["show"]).ExitCode);
        var (old, late) = (Play("old", Cues), Play("new", Cues.Replace("\"dimmer\": 0.6", "\"dimmer\": 0.4", StringComparison.Ordinal)));
        Assert.Contains("3 frames drawn, 0 taken over", Snap(old, "base", "--size", "96x54"), StringComparison.Ordinal);

        // The size is that of the frames it is held against; the last cue alone is drawn.
        var said = Snap(late, "new", "--against", _temp["base"]);
        Assert.Contains("1 frame drawn, 2 taken over", said, StringComparison.Ordinal);
        Assert.Matches(@"cue-one-settled\S*  .*unchanged: taken over", said);
        Assert.DoesNotMatch(@"cue-two-settled\S*  .*taken over", said);
        var compared = CommandRun.Of("compare", _temp["base"], _temp["new"]);
        Assert.Equal(1, compared.ExitCode);
        Assert.Contains("3 frames: 2 identical, 1 changed", compared.Output, StringComparison.Ordinal);

        // A picture that is not what its record says is drawn anew; and all of them where that is asked.
        var one = FrameSet.Open(_temp["new"]).Frames.Single(f => f.Key.StartsWith("cue-one", StringComparison.Ordinal)).Value;
        var file = one.PictureOf(one.ReadSidecar());
        var whole = File.ReadAllBytes(file);
        File.WriteAllBytes(file, whole[..^30]);
        Assert.Contains("1 frame drawn, 2 taken over", Snap(late, "new"), StringComparison.Ordinal);
        Assert.Contains("3 frames drawn, 0 taken over", Snap(late, "new", "--all"), StringComparison.Ordinal);

        // Frames that are not asked for any more are gone, and the folder is whole.
        Assert.Contains("1 frame drawn", Snap(late, "new", "--at", "2"), StringComparison.Ordinal);
        var now = FrameSet.Open(_temp["new"]);
        Assert.Equal("at-2", Assert.Single(now.Frames.Keys).Split('.')[0]);
        Assert.Null(now.Lacks);
        Assert.Single(Directory.GetFiles(Path.Combine(_temp["new"], "pixels")));
    }

    [Fact]
    public void Frames_of_one_run_are_to_the_byte_those_drawn_alone_and_as_fine_as_the_baselines()
    {
        Assert.Equal(0, CommandRun.Of("new", _temp["show"]).ExitCode);
        var rig = Path.Combine(_temp["show"], "show.rig.jsonc");
        var text = File.ReadAllText(rig);
        var list = text.IndexOf("\"cameras\": [", StringComparison.Ordinal) + "\"cameras\": [".Length;
        File.WriteAllText(rig, text.Insert(list, """
            { "name": "over", "at": [0, 2, 9], "lookAt": [0, 2, 0], "up": [0, 1, 0], "ev": 5 }, { "name": "quick", "at": [-6, -6, 2],
              "lookAt": [0, 2, 1], "ev": 5, "shutter": 0.005 }, { "name": "wing", "at": [-6, -2, 2], "lookAt": [0, 2, 1], "ev": 5 },
            """));
        var capture = Play("show", Cues);
        string[] sketch = ["--size", "128x72", "--detail", "sketch", "--camera", "wing"];
        Snap(capture, "many", ["--at", "2", "--at", "6", "--camera", "over", "--camera", "quick", .. sketch]);
        Snap(capture, "alone", ["--at", "6", .. sketch]);
        var (many, alone) = (FrameSet.Open(_temp["many"]).Frames, FrameSet.Open(_temp["alone"]).Frames["at-6.wing"]);
        Assert.Equal(6, many.Count);
        Assert.Equal(File.ReadAllBytes(many["at-6.wing"].SidecarFile!), File.ReadAllBytes(alone.SidecarFile!));
        Assert.Equal(File.ReadAllBytes(many["at-6.wing"].PictureOf(many["at-6.wing"].ReadSidecar())), File.ReadAllBytes(alone.PictureOf(alone.ReadSidecar())));
        Assert.Equal("sketch", alone.ReadSidecar()!.Detail);

        // Held against sketches, frames are sketches; another detail is another picture, and the comparison says so.
        var with = Snap(capture, "like", "--at", "6", "--camera", "wing", "--against", _temp["many"]);
        Assert.Contains("0 frames drawn, 1 taken over", with, StringComparison.Ordinal);
        Snap(capture, "like", "--at", "6", "--camera", "wing", "--against", _temp["many"], "--detail", "normal");
        var compared = CommandRun.Of("compare", _temp["many"], _temp["like"], "--only", "at-6.wing");
        Assert.Contains("detail sketch → normal", compared.Output, StringComparison.Ordinal);
    }

    private string Play(string name, string cues)
    {
        var rig = Path.Combine(_temp["show"], "show.rig.jsonc");
        var file = Path.Combine(_temp["show"], name + ".cues.jsonc");
        File.WriteAllText(file, cues);
        var capture = Path.ChangeExtension(Path.ChangeExtension(file, null), ".pcapng");
        Assert.Equal(0, CommandRun.Of("cues", rig, file, "--out", capture).ExitCode);
        return capture;
    }

    private string Snap(string capture, string to, params string[] more)
    {
        var run = CommandRun.Of(["snap", Path.Combine(_temp["show"], "show.rig.jsonc"), "--capture", capture, "--out", _temp[to],
            .. more.Contains("--at") ? [] : new[] { "--cues" },
            .. more.Contains("--size") || more.Contains("--against") ? [] : new[] { "--size", "96x54" }, .. more]);
        run.AssertPlainWords();
        Assert.True(run.ExitCode == 0, run.Output + run.Errors);
        return run.Output;
    }
}
