using SkiaSharp;

namespace StageView.Wine;

/// <summary>What comes out is what comes out on Linux: to the byte.</summary>
[Collection(PrefixGroup.Name)]
public sealed class SameAsLinuxTests(Prefix windows) : IDisposable
{
    private static readonly string s_rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");
    private static readonly string s_capture = Repo.File("scenes", "foundry", "foundry.pcapng");
    private readonly TempFolder _temp = new();

    private static string Scene(string file) => Prefix.Program + @"\scenes\foundry\" + file;

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void The_demo_frames_are_those_of_Linux()
    {
        var told = windows.Run("demo", "--size", "480x270", "--out", @"C:\Bilder der Schau");
        Assert.True(told.ExitCode == 0, told.Errors);
        var here = Prefix.RunHere("demo", "--size", "480x270", "--out", _temp.Path);
        Assert.Equal(here.Lines.Replace(_temp.Path, "C:/Bilder der Schau", StringComparison.Ordinal), told.Lines);
        Same(windows.Here(@"C:\Bilder der Schau"), 9, "*.png");
    }

    /// <summary>Letters are drawn as outlines from the same file; Wine's reader of fonts gives them a little otherwise at their edges.</summary>
    [Fact]
    public void Text_on_a_picture_stands_where_it_does_on_Linux()
    {
        string[] asked = ["--at", "18.5", "--camera", "house", "--size", "640x360", "--show", "names,axes,lux"];
        var told = windows.Run(["render", Scene("foundry.rig.jsonc"), "--capture", Scene("foundry.pcapng"), .. asked, "--out", @"C:\names\n.png"]);
        Assert.True(told.ExitCode == 0, told.Errors);
        Prefix.RunHere(["render", s_rig, "--capture", s_capture, .. asked, "--out", _temp["n.png"]]);
        using var there = SKBitmap.Decode(windows.Here(@"C:\names\n.png"));
        using var here = SKBitmap.Decode(_temp["n.png"]);
        var off = there.Pixels.Zip(here.Pixels, (a, b) => Math.Max(Math.Abs(a.Red - b.Red), Math.Max(Math.Abs(a.Green - b.Green), Math.Abs(a.Blue - b.Blue))))
            .ToList();
        Assert.InRange(off.Max(), 0, 100);
        Assert.InRange(off.Count(d => d > 0), 0, off.Count * .02);
    }

    [Fact]
    public void Lists_and_plans_are_those_of_Linux()
    {
        var told = windows.Run("paperwork", Scene("foundry.rig.jsonc"), "--out", @"C:\paper");
        Assert.True(told.ExitCode == 0, told.Errors);
        Assert.DoesNotContain("\\", told.Output, StringComparison.Ordinal);
        Prefix.RunHere("paperwork", s_rig, "--out", _temp.Path);
        Same(windows.Here(@"C:\paper"), 6, "*.csv");
        Same(windows.Here(@"C:\paper"), 3, "*.svg");
    }

    [Fact]
    public void A_frame_s_record_names_its_files_with_slashes_and_is_that_of_Linux()
    {
        string[] asked = ["--at", "18.5", "--size", "160x90"];
        var told = windows.Run(["snap", Scene("foundry.rig.jsonc"), "--capture", Scene("foundry.pcapng"), .. asked, "--out", @"C:\snap"]);
        Assert.True(told.ExitCode == 0, told.Errors);
        Prefix.RunHere(["snap", s_rig, "--capture", s_capture, .. asked, "--out", _temp.Path]);
        var record = File.ReadAllText(windows.Here(@"C:\snap\at-18.5.house.frame.json"));
        Assert.DoesNotContain("\\", record, StringComparison.Ordinal);
        var folder = Path.GetDirectoryName(s_rig)! + "/";
        Assert.Equal(WithoutBuild(File.ReadAllText(_temp["at-18.5.house.frame.json"]).Replace(folder, "", StringComparison.Ordinal)),
            WithoutBuild(record.Replace(Scene("").Replace('\\', '/'), "", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData("check")]
    [InlineData("patch")]
    [InlineData("bounces", "--capture", "foundry.pcapng", "--at", "18.5")]
    [InlineData("explain", "113", "--capture", "foundry.pcapng", "--at", "31.5", "--json")]
    [InlineData("cautions", "--capture", "foundry.pcapng", "--at", "25")]
    public void What_a_verb_says_is_what_it_says_on_Linux(string verb, params string[] more)
    {
        string[] Asked(string rig, string capture) => [verb, rig, .. more.Select(m => m == "foundry.pcapng" ? capture : m)];
        var told = windows.Run(Asked(Scene("foundry.rig.jsonc"), Scene("foundry.pcapng")));
        var here = Prefix.RunHere(Asked(s_rig, s_capture));
        Assert.Equal(here.Lines, told.Lines);
        Assert.Equal(here.ExitCode, told.ExitCode);
    }

    /// <summary>The state has the build's own mark in it, which is another for each system.</summary>
    private static string WithoutBuild(string record) =>
        string.Join('\n', record.Split('\n').Where(l => !l.StartsWith("  \"state\": ", StringComparison.Ordinal)));

    private void Same(string folder, int count, string pattern)
    {
        var files = Directory.GetFiles(folder, pattern).Order(StringComparer.Ordinal).ToList();
        Assert.Equal(count, files.Count);
        Assert.All(files, f => Assert.True(File.ReadAllBytes(f).AsSpan().SequenceEqual(File.ReadAllBytes(_temp[Path.GetFileName(f)])), f + " differs"));
    }
}
