namespace StageView.App.Tests.Verbs;

/// <summary>What is made from a capture that was cut says so, in words and in its exit code.</summary>
[Collection("network ports")]
public sealed class DamagedCaptureTests
{
    private static readonly string s_rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");
    private static readonly string s_whole = Repo.File("scenes", "foundry", "foundry.pcapng");

    public static TheoryData<string[]> Questions => new()
    {
        new[] { "timecode", "CUT" },
        new[] { "explain", s_rig, "1.1", "--capture", "CUT" },
        new[] { "shows", "CUT", "CUT", s_rig, "--align", "time", "--step", "4" },
        new[] { "cautions", s_rig, "--capture", "CUT" },
        // With findings.
        new[] { "cautions", s_rig, "--capture", "CUT", "--limit", "least=1" },
        new[] { "levels", s_rig, "--capture", "CUT" },
        new[] { "flashes", s_rig, "--capture", "CUT", "--from", "3" },
        new[] { "watch", s_rig, "--capture", "CUT" },
        new[] { "lasers", s_rig, "--capture", "CUT" },
        new[] { "lux", s_rig, "--capture", "CUT", "--on", "actor-line", "--indirect", "off" },
        new[] { "bounces", s_rig, "--capture", "CUT" },
        new[] { "audit", s_rig, "--capture", "CUT", "--indirect", "off" },
        new[] { "render", s_rig, "--capture", "CUT", "--size", "64x36", "--out", "CUT.png" },
        new[] { "refocus", s_rig, "--venue", Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc"), "--capture", "CUT" },
        new[] { "replay", "CUT", "--speed", "200" },
        new[] { "moves", s_rig, "--capture", "CUT", "--late", "60", "--off", "360" },
    };

    [Theory]
    [MemberData(nameof(Questions))]
    public void Each_verb_tells_where_a_capture_is_cut(string[] words)
    {
        using var folder = new TempFolder();
        var cut = folder.File("cut.pcapng");
        using (var whole = File.OpenRead(s_whole))
        using (var part = File.Create(cut))
        {
            var bytes = new byte[(whole.Length / 5) + 3];
            whole.ReadExactly(bytes);
            part.Write(bytes);
        }

        var run = CommandRun.Of([.. words.Select(w => w.Replace("CUT", cut, StringComparison.Ordinal))]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("cut.pcapng: cut short at byte", run.Errors, StringComparison.Ordinal);
        // What stood before the cut is told all the same.
        Assert.NotEmpty(run.Output);
        run.AssertPlainWords();
    }
}
