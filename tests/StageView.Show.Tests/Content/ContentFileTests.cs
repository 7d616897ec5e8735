using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Show.Content;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Content;

public sealed class ContentFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-content-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("still.png", "still.png")]
    [InlineData("film.mp4", "film.mp4")]
    [InlineData("f%03d.png", "f001.png")]
    [InlineData("g%d.png", "g0.png")]
    public void What_git_left_a_pointer_of_is_told_as_that(string file, string holds)
    {
        File.WriteAllText(Path.Combine(_folder, holds), "version https://git-lfs.github.com/spec/v1\noid sha256:4d7a\nsize 12345\n");
        var wrong = Assert.Throws<StopException>(() =>
        {
            if (ContentStill.Reads(Placement(file).FullPath))
            {
                ContentStill.Open(Placement(file));
            }
            else
            {
                ContentFile.Open(Placement(file)).Dispose();
            }
        });
        Assert.Contains(holds + " holds only a pointer of git's large-file storage", wrong.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_video_gives_the_same_frame_in_any_order()
    {
        // ffmpeg's own test source: 40 frames of 64x36, a key frame every 12, each frame a step lighter.
        Make("-f", "lavfi", "-i", "color=black:s=64x36:r=20:d=2,geq=lum='16+N*5':cb=128:cr=128", "-c:v", "libx264", "-crf", "10", "-g", "12", "-pix_fmt",
            "yuv420p", "v.mp4");
        using var ahead = ContentFile.Open(Placement("v.mp4"));
        Assert.Equal(40, ahead.Frames);
        var run = Enumerable.Range(0, 40).Select(i => Grey(ahead, i / 20.0)).ToArray();
        for (var i = 1; i < 40; i++)
        {
            Assert.True(run[i] > run[i - 1], $"frame {i} is not lighter than the one before");
        }

        using var jumping = ContentFile.Open(Placement("v.mp4"));
        foreach (var i in new[] { 39, 0, 13, 12, 30, 5, 38 })
        {
            Assert.Equal(run[i], Grey(jumping, i / 20.0));
            Assert.Equal(run[i], Grey(jumping, (i / 20.0) + 0.049));
        }

        Assert.Null(jumping.FrameAt(TimeSpan.FromSeconds(2), repeat: false));
        Assert.Equal(run[3], Grey(jumping, 2.15, repeat: true));
    }

    [Fact]
    public void A_sequence_counts_at_its_own_rate_and_an_image_stands()
    {
        Make("-f", "lavfi", "-i", "color=black:s=8x8:r=10:d=1,geq=lum='16+N*20':cb=128:cr=128", "s%03d.png");
        using var sequence = ContentFile.Open(Placement("s%03d.png") with { SequenceRate = 10 });
        Assert.Equal(10, sequence.Frames);
        Assert.True(Grey(sequence, 0.55) > Grey(sequence, 0.45));
        Assert.Null(sequence.FrameAt(TimeSpan.FromSeconds(1.01), repeat: false));

        using var image = ContentFile.Open(Placement("s004.png"));
        Assert.Equal(1, image.Frames);
        Assert.Equal(Grey(image, 0), Grey(image, 3600));
        Assert.Equal(Grey(sequence, 0.35), Grey(image, 0));

        // Single pictures are read without ffmpeg, to the same light.
        Assert.True(ContentStill.Reads("a/b.PNG") && !ContentStill.Reads("s%03d.png") && !ContentStill.Reads("v.mp4"));
        var still = ContentStill.Open(Placement("s004.png"));
        Assert.Equal(Grey(image, 0), still.FrameAt(TimeSpan.FromHours(1), repeat: false)!.Mean(0, 0, 1, 1).Y);
        File.WriteAllText(Path.Combine(_folder, "bad.png"), "x");
        Assert.Contains("no PNG, JPEG or WebP", Assert.Throws<StopException>(() => ContentStill.Open(Placement("bad.png"))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_no_content_is_refused_with_its_place()
    {
        File.WriteAllText(Path.Combine(_folder, "words.txt"), "not a picture");
        var none = Assert.Throws<StopException>(() => ContentFile.Open(Placement("gone.png")));
        Assert.Contains("tour.rig.jsonc:7 $.content[0]: content \"wall\":", none.Message, StringComparison.Ordinal);
        Assert.Contains("does not exist", none.Message, StringComparison.Ordinal);
        var tool = Assert.Throws<StopException>(() => ContentFile.Open(Placement("words.txt"), probe: "no-such-probe"));
        Assert.Equal(StopKind.MachineCannot, tool.Kind);
        Make("-f", "lavfi", "-i", "color=red:s=8x8:d=1:r=5", "v.mp4");
        Assert.Contains("words.txt", Assert.Throws<StopException>(() => ContentFile.Open(Placement("words.txt"))).Message, StringComparison.Ordinal);
    }

    // A wall of panels that share one picture is decoded once, and a film by one reader where all show the same frame at any time.
    [Fact]
    public void What_shows_the_same_frames_is_opened_once()
    {
        Make("-f", "lavfi", "-i", "color=red:s=8x8:d=1:r=5", "v.mp4");
        Make("-f", "lavfi", "-i", "color=red:s=8x8:d=1:r=5", "-frames:v", "1", "p.png");
        var rig = RigFiles.Open(Write("""
            { "content": [
              { "name": "a", "file": "v.mp4", "corner": [0, 0, 1], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100, "repeat": true },
              { "name": "b", "file": "v.mp4", "corner": [2, 0, 1], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100, "repeat": true },
              { "name": "later", "file": "v.mp4", "corner": [2, 0, 1], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100, "start": 1, "repeat": true },
              { "name": "c", "file": "p.png", "corner": [0, 0, 1], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100 },
              { "name": "d", "file": "p.png", "corner": [0, 0, 1], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100, "start": 3 } ] }
            """));
        var opened = ContentFile.OpenAll(rig);
        Assert.Equal(rig.Content, opened.Select(o => o.Placement));
        Assert.Same(opened[0].Frames, opened[1].Frames);
        Assert.NotSame(opened[0].Frames, opened[2].Frames);
        Assert.Same(opened[3].Frames, opened[4].Frames);
        foreach (var content in opened)
        {
            content.Dispose();
        }
    }

    private string Write(string rig)
    {
        var path = Path.Combine(_folder, "a.rig.jsonc");
        File.WriteAllText(path, rig);
        return path;
    }

    private ContentPlacement Placement(string file) => new()
    {
        Name = "wall",
        File = file,
        FullPath = Path.Combine(_folder, file),
        Corner = Vector3.Zero,
        Across = Vector3.UnitX,
        Down = -Vector3.UnitZ,
        Luminance = 1000,
        Source = new SourcePlace("tour.rig.jsonc", 7, SourcePath.Top.Key("content").Item(0)),
    };

    private static float Grey(ContentFile content, double seconds, bool repeat = false) =>
        content.FrameAt(TimeSpan.FromSeconds(seconds), repeat)!.Mean(0, 0, 1, 1).Y;

    private void Make(params string[] arguments) => Tools.RunIn(_folder, "ffmpeg", ["-v", "error", "-nostdin", .. arguments]);
}
