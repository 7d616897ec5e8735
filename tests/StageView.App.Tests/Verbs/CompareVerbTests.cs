using StageView.Snapshot.Files;
using StageView.Snapshot.Images;

namespace StageView.App.Tests.Verbs;

/// <summary>Exit codes and words of compare and accept, on folders of plain pictures.</summary>
public sealed class CompareVerbTests : IDisposable
{
    private readonly TempFolder _temp = new();

    private string Base => Path.Combine(_temp.Path, "base");

    private string New => Path.Combine(_temp.Path, "new");

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Same_different_and_unreadable_have_their_own_exit_codes()
    {
        Both("a", 1, 1);
        Assert.Equal(0, Run("compare", Base, New).ExitCode);
        Both("b", 1, 40);
        var different = Run("compare", Base, New);
        Assert.Equal(1, different.ExitCode);
        Assert.Contains("b: changed: 100 % of the frame", different.Output, StringComparison.Ordinal);
        Assert.Contains("levels 2 (default)", different.Output, StringComparison.Ordinal);
        Assert.Equal(0, Run("compare", Base, New, "--levels", "60", "--block-levels", "100").ExitCode);
        File.WriteAllText(Path.Combine(New, "b.png"), "no picture");
        Assert.Equal(2, Run("compare", Base, New).ExitCode);
        Assert.Equal(2, Run("compare", Base, New, "--only", "nothing*").ExitCode);
    }

    [Fact]
    public void Parts_of_two_machines_merge_and_a_frame_nobody_drew_is_told()
    {
        Both("a", 1, 1);
        Both("b", 1, 1);
        File.Move(Path.Combine(New, "b.png"), Path.Combine(_temp.Path, "b.png"));
        Assert.Equal(1, Run("compare", Base, New).ExitCode);
        var part = Path.Combine(_temp.Path, "part");
        Assert.Equal(0, Run("compare", Base, New, "--part", "--report", part).ExitCode);
        var merged = Run("compare", "--merge", part, "--report", Path.Combine(_temp.Path, "merged"));
        Assert.Equal(1, merged.ExitCode);
        Assert.Contains("1 removed", merged.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Accepted_frames_are_the_same_afterwards_and_a_wrong_name_is_refused()
    {
        Both("a", 1, 40);
        Both("b", 1, 40);
        Assert.Equal(2, Run("accept", Base, New, "c").ExitCode);
        Assert.Equal("a: replaced", Run("accept", Base, New, "a", "--by", "tester", "--other-renderer").Output.Trim());
        var after = Run("compare", Base, New);
        Assert.Contains("2 frames: 1 identical, 1 changed", after.Output, StringComparison.Ordinal);
    }

    private void Both(string name, byte before, byte after)
    {
        FrameFile.Save(Flat(before), Path.Combine(Base, name + ".png"));
        FrameFile.Save(Flat(after), Path.Combine(New, name + ".png"));
    }

    private static FrameImage Flat(byte level)
    {
        var image = new FrameImage(64, 64);
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            image.Rgba[i] = (i & 3) == 3 ? (byte)255 : level;
        }

        return image;
    }

    private static CommandRun Run(params string[] args)
    {
        var run = CommandRun.Of(args);
        run.AssertPlainWords();
        return run;
    }
}
