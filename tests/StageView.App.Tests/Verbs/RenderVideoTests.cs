using System.Diagnostics;
using System.Text;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Video;

namespace StageView.App.Tests.Verbs;

public sealed class RenderVideoTests : IDisposable
{
    private static readonly string Rig = Repo.File("scenes", "one-beam", "one-beam.rig.jsonc");
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-render-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task The_slurm_example_renders_shards_and_joins_them()
    {
        NeedsOpenGl();
        // What Slurm would set; 12 s at 10 frames/s are 2 segments.
        var video = Path.Combine(_folder, "show.mp4");
        foreach (var task in new[] { "2", "1" })
        {
            var said = await Slurm(video, task);
            Assert.Contains($"show.shard-{task}-of-2.mp4", said, StringComparison.Ordinal);
        }

        Assert.Contains("120 frames from 2 shards", await Slurm(video, null), StringComparison.Ordinal);
        var whole = Path.Combine(_folder, "whole.mp4");
        await Slurm(whole, "1", "1");
        Assert.Equal(Sums(whole), Sums(video));
        // Not one and the same black frame: the capture moves what hangs here.
        Assert.True(Sums(video).Split('\n').Select(l => l.Split(',')[^1]).Distinct().Count() > 10);
    }

    private static string Sums(string video) => Tools.Run("ffmpeg", "-v", "error", "-i", video, "-map", "0:v", "-f", "framemd5", "-");

    [Fact]
    public void Pictures_in_every_format_and_with_aids()
    {
        NeedsOpenGl();
        RenderRequest Asked(
            string name, string? show = null, string? format = null, double? workLight = null, string? exposure = null, int? samples = null) => new()
            {
                Rig = Rig,
                Size = new FrameSize(160, 96),
                Out = Path.Combine(_folder, name),
                Style = PictureStyle.Parse(show, workLight, exposure, format, samples: samples),
            };
        string File(RenderRequest asked) => Assert.Single(RenderRun.Run(asked)).File;

        var plain = System.IO.File.ReadAllBytes(File(Asked("plain.png")));
        Assert.Equal(plain, System.IO.File.ReadAllBytes(File(Asked("again.png"))));
        Assert.NotEqual(plain, System.IO.File.ReadAllBytes(File(Asked("named.png", show: "names"))));
        Assert.NotEqual(plain, System.IO.File.ReadAllBytes(File(Asked("lux.png", show: "lux"))));
        var lit = System.IO.File.ReadAllBytes(File(Asked("lit.png", workLight: 50)));
        Assert.NotEqual(plain, lit);
        var smooth = System.IO.File.ReadAllBytes(File(Asked("smooth.png", workLight: 50, samples: 4)));
        Assert.NotEqual(lit, smooth);
        Assert.Equal(smooth, System.IO.File.ReadAllBytes(File(Asked("smooth-again.png", workLight: 50, samples: 4))));
        Assert.NotEqual(lit, System.IO.File.ReadAllBytes(File(Asked("dark.png", workLight: 50, exposure: "12"))));
        Assert.Equal([0x76, 0x2f, 0x31, 0x01], System.IO.File.ReadAllBytes(File(Asked("light.exr", format: "exr")))[..4]);
        Assert.EndsWith("end-front.exr", File(Asked("folder", format: "exr-half")), StringComparison.Ordinal);
        Assert.Contains(LinearPng.ScaleKeyword, Encoding.Latin1.GetString(System.IO.File.ReadAllBytes(File(Asked("linear.png", format: "linear-png")))),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("names,colours", null, null, "--show colours is not known")]
    [InlineData(null, "bright", null, "--exposure bright is none")]
    [InlineData(null, null, "tiff", "--format tiff is not known")]
    [InlineData("names", null, "exr", "leave out --show")]
    public void Words_that_are_not_known_are_refused(string? show, string? exposure, string? format, string said) =>
        Assert.Contains(said, Assert.Throws<StopException>(() => PictureStyle.Parse(show, null, exposure, format)).Message, StringComparison.Ordinal);

    [Fact]
    public void Each_level_of_detail_is_its_own_style_and_others_are_refused()
    {
        var stamps = new[] { "draft", "normal", "fine" }.Select(d => PictureStyle.Parse(null, null, null, null, d).Stamp).ToList();
        Assert.Equal(3, stamps.Distinct().Count());
        Assert.Equal(PictureStyle.Plain.Stamp, stamps[1]);
        Assert.NotEqual(PictureStyle.Plain.Stamp, PictureStyle.Parse(null, null, null, null, null, 2).Stamp);
        Assert.NotEqual(PictureStyle.Plain.Stamp, (PictureStyle.Plain with { Indirect = true }).Stamp);
        Assert.Contains("--mirror-depth takes", Assert.Throws<StopException>(() => PictureStyle.Parse(null, null, null, null, null, 5)).Message,
            StringComparison.Ordinal);
        Assert.NotEqual(PictureStyle.Plain.Stamp, PictureStyle.Parse(null, null, null, null, null, null, 2).Stamp);
        Assert.Contains("--samples takes 1 to", Assert.Throws<StopException>(() => PictureStyle.Parse(null, null, null, null, null, null, 0)).Message,
            StringComparison.Ordinal);
        Assert.Contains("--detail coarse is not known", Assert.Throws<StopException>(() => PictureStyle.Parse(null, null, null, null, "coarse")).Message,
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_can_be_no_video_is_refused()
    {
        Task<StopException> Refused(RenderRequest asked, VideoRequest video) =>
            Assert.ThrowsAsync<StopException>(() => VideoRun.RunAsync(asked, video, null, null, TestContext.Current.CancellationToken));
        var asked = new RenderRequest { Rig = Rig, Out = Path.Combine(_folder, "show.mp4"), Size = new FrameSize(160, 96) };
        var video = new VideoRequest("0", "2", new FrameRate(10, 1), Shard.Whole, VideoQuality.Good);
        Assert.Contains("one --camera", (await Refused(asked with { Cameras = ["front", "above"] }, video)).Message, StringComparison.Ordinal);
        Assert.Contains("--to 0 must lie after", (await Refused(asked, video with { To = "end" })).Message, StringComparison.Ordinal);
        Assert.Contains("pump", (await Refused(asked with { Style = PictureStyle.Parse(null, null, "metered", null) }, video)).Message,
            StringComparison.Ordinal);
        Assert.Contains("record", (await Refused(asked with { ListenSeconds = 1 }, video)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_stamp_follows_what_is_in_the_rig_not_where_it_lies()
    {
        var text = File.ReadAllText(Rig).Replace("../../assets/fixtures", Repo.File("assets", "fixtures").Replace('\\', '/'), StringComparison.Ordinal);
        string Stamp(string name, string content, string camera = "front")
        {
            var folder = Directory.CreateDirectory(Path.Combine(_folder, name)).FullName;
            File.WriteAllText(Path.Combine(folder, "r.jsonc"), content);
            return SourceStamp.Of(RigFiles.Open(Path.Combine(folder, "r.jsonc")), null, camera, PictureStyle.Plain.Stamp);
        }

        var first = Stamp("a", text);
        Assert.Equal(first, Stamp("b", text));
        Assert.NotEqual(first, Stamp("c", text.Replace("5.415", "5.515", StringComparison.Ordinal)));
        Assert.NotEqual(first, Stamp("d", text, "above"));
    }

    private async Task<string> Slurm(string video, string? task, string count = "2")
    {
        var start = new ProcessStartInfo("bash", [Repo.File("docs", "video", "slurm.sh"), .. task is null ? new[] { "join" } : []])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["STAGEVIEW"] = $"dotnet {Path.Combine(AppContext.BaseDirectory, "stageview.dll")}";
        start.Environment["RIG"] = Rig;
        start.Environment["CAPTURE"] = Repo.File("scenes", "foundry", "foundry.pcapng");
        (start.Environment["TO"], start.Environment["FPS"], start.Environment["SIZE"], start.Environment["OUT"]) = ("12", "10", "96x64", video);
        (start.Environment["SLURM_ARRAY_TASK_ID"], start.Environment["SLURM_ARRAY_TASK_COUNT"]) = (task, count);
        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var said = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, await errors);
        return said;
    }

    private static void NeedsOpenGl()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        try
        {
            Offscreen.Open().Dispose();
        }
        catch (MachineCannotException e)
        {
            Assert.Skip(e.Message);
        }
    }
}
