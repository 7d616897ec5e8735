namespace StageView.App.Tests.Verbs;

/// <summary>What the machine can't do is told apart from what was asked wrongly.</summary>
public sealed class FullDiskTests : IDisposable
{
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_full_disk_and_a_place_that_can_only_be_read_are_the_machines_fault()
    {
        Assert.Equal(0, CommandRun.Of("new", _temp["show"]).ExitCode);
        var cues = _temp.File("a.cues.jsonc",
            """{ "rate": 40, "length": 1, "cues": [{ "time": 0, "name": "a", "set": [{ "fixtures": "all", "dimmer": 0 }] }] }""");
        var rig = Path.Combine(_temp["show"], "show.rig.jsonc");

        // What is written lies beside its place first: on a device that is always full (null(4), full(4)).
        File.CreateSymbolicLink(_temp["full.pcapng.part"], "/dev/full");
        Fails("No space left", "cues", rig, cues, "--out", _temp["full.pcapng"]);
        Fails("sys", "cues", rig, cues, "--out", "/sys/a.pcapng");
        Assert.Equal(2, CommandRun.Of("cues", rig, _temp["none.jsonc"], "--out", _temp["a.pcapng"]).ExitCode);
    }

    private static void Fails(string said, params string[] command)
    {
        var run = CommandRun.Of(command);
        Assert.True(run.ExitCode == 3, run.ExitCode + run.Errors);
        Assert.Contains(said, run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }
}
