using StageView.Ground.Png;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Tests.Planted;

namespace StageView.Snapshot.Tests.Sets;

public sealed class SetComparisonTests : IDisposable
{
    private readonly TempFolder _temp = new();

    private string Base => _temp["base"];

    private string New => _temp["new"];

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Every_verdict_is_told_apart()
    {
        Both("same", SampleFrames.Picture(1), SampleFrames.Picture(1));
        var noisy = PlantedPairs.Noise(SampleFrames.Picture(2), 1, 5);
        Both("noise", SampleFrames.Picture(2), noisy);
        var changed = SampleFrames.Picture(3);
        changed.Set(30, 30, 255, 255, 255);
        Both("changed", SampleFrames.Picture(3), changed);
        Both("size", SampleFrames.Picture(4), SampleFrames.Picture(4, 80, 90));
        SampleFrames.Save(Base, SampleFrames.Sidecar("gone"), SampleFrames.Picture(5));
        SampleFrames.Save(New, SampleFrames.Sidecar("fresh"), SampleFrames.Picture(6));
        Both("broken", SampleFrames.Picture(7), SampleFrames.Picture(8));
        var broken = FrameSet.Open(New).Frames["broken"];
        File.WriteAllText(broken.PictureOf(broken.ReadSidecar()), "no picture");

        var result = Run();
        Assert.Equal(
            [("broken", FrameVerdict.Unreadable), ("changed", FrameVerdict.Changed), ("fresh", FrameVerdict.Added), ("gone", FrameVerdict.Removed),
             ("noise", FrameVerdict.WithinTolerance), ("same", FrameVerdict.Identical), ("size", FrameVerdict.SizeMismatch)],
            result.Frames.Select(f => (f.Name, f.Verdict)));
        Assert.Contains("is no picture", result.Frames[0].Message, StringComparison.Ordinal);
        Assert.Contains("160x90", result.Frames[6].Message, StringComparison.Ordinal);
    }

    /// <summary>Baselines that were made for other machines say so in their record; what else is said is laid over those tolerances.</summary>
    [Fact]
    public void A_frame_made_for_other_renderers_is_compared_by_their_tolerances()
    {
        var rounded = SampleFrames.Picture(1);
        for (var i = 0; i < rounded.Rgba.Length; i++)
        {
            // Four levels more or less here and there, as roundings add up: of pixels side by side, as no noise is.
            rounded.Rgba[i] = (byte)(rounded.Rgba[i] + ((i & 3) != 1 ? 0 : (i / 4 % 14) switch { 0 or 1 or 2 => 4, 7 or 8 or 9 => -4, _ => 0 }));
        }

        SampleFrames.Save(Base, SampleFrames.Sidecar("plain"), SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("plain"), rounded);
        var recorded = new TolerancePart { Renderer = RendererMatch.Other, ForgiveEdges = false };
        SampleFrames.Save(Base, SampleFrames.Sidecar("recorded") with { Tolerance = recorded }, SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("recorded"), rounded);
        Assert.Equal([FrameVerdict.Changed, FrameVerdict.WithinTolerance], Run().Frames.Select(f => f.Verdict));
        Assert.Contains("renderer other (the frame's record)", Run().Frames[1].Settings);
        Assert.Contains("levels 4 (renderer of the frame's record)", Run().Frames[1].Settings);
        Assert.Contains("forgiveEdges no (rig file)", Run().Frames[1].Settings);
        Assert.All(Run(new TolerancePart { Renderer = RendererMatch.Other }).Frames, f => Assert.Equal(FrameVerdict.WithinTolerance, f.Verdict));
        Assert.All(Run(new TolerancePart { Renderer = RendererMatch.Same }).Frames, f => Assert.Equal(FrameVerdict.Changed, f.Verdict));
        var tighter = Run(new TolerancePart { Renderer = RendererMatch.Other, Levels = 1 }).Frames[0];
        Assert.Equal(FrameVerdict.Changed, tighter.Verdict);
        Assert.Contains("levels 1 (command line)", tighter.Settings);
    }

    [Fact]
    public void Settings_say_where_each_value_came_from()
    {
        SnapshotJson.Write(
            new CompareFile
            {
                All = new TolerancePart { Levels = 5, ChangedShare = 0.5 },
                Frames = new Dictionary<string, TolerancePart>
                {
                    ["wall*"] = new()
                    {
                        Levels = 9, Regions = [new CompareRegion { Name = "clock", Left = 0, Top = 0, Width = 0.1, Height = 0.1, Ignore = true }],
                    },
                },
            },
            Path.Combine(Path.GetDirectoryName(Path.Combine(Base, "x"))!, CompareFile.Name));
        SampleFrames.Save(Base, SampleFrames.Sidecar("wall 1") with { Tolerance = new TolerancePart { BlockLevels = 3, Levels = 4 } }, SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("wall 1"), SampleFrames.Picture(2));
        var lines = Run(new TolerancePart { ChangedShare = 0 }).Frames[0].Settings;
        Assert.Equal(
            ["renderer same (default)", "mode levels (default)",
             "levels 9 (compare.json $.frames['wall*'])", "blockLevels 3 (rig file)", "forgiveEdges yes (default)",
             "changedShare 0 (command line)", "mask none (default)", "regions clock (compare.json $.frames['wall*'])"],
            lines);
    }

    [Fact]
    public void A_setting_out_of_range_is_refused_with_its_place()
    {
        Both("a", SampleFrames.Picture(1), SampleFrames.Picture(2));
        var result = Run(new TolerancePart { Levels = 300 });
        Assert.Equal("command line: levels must be 0 to 255", result.Frames[0].Message);
    }

    [Fact]
    public void A_mask_beside_the_baselines_is_used()
    {
        Both("a", SampleFrames.Picture(1), SampleFrames.Picture(9));
        var mask = new FrameImage(160, 90);
        FrameFile.Save(mask, Path.Combine(Base, "masks", "none.png"));
        mask.Set(0, 0, 255, 255, 255);
        FrameFile.Save(mask, Path.Combine(Base, "masks", "all.png"));
        SnapshotJson.Write(new CompareFile { All = new TolerancePart { Mask = "masks/all.png" } }, Path.Combine(Base, CompareFile.Name));
        var result = Run(only: n => n == "a");
        Assert.Equal((160 * 90) - 1, result.Frames[0].IgnoredPixels);

        // A mask that leaves nothing is a question without an answer, not a pass.
        SnapshotJson.Write(new CompareFile { All = new TolerancePart { Mask = "masks/none.png" } }, Path.Combine(Base, CompareFile.Name));
        result = Run(only: n => n == "a");
        Assert.Equal(FrameVerdict.Unreadable, result.Frames[0].Verdict);
        Assert.Contains("leave no pixel to compare", result.Frames[0].Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{ "all": { "levles": 3 } }""", @"compare\.json:1 .*there is no key 'levles' here")]
    [InlineData("""{ "frame": { "a*": { "levels": 3 } } }""", @"compare\.json:1 .*there is no key 'frame' here")]
    public void A_key_that_is_misspelt_in_the_settings_is_refused_with_its_place(string text, string said)
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        File.WriteAllText(Path.Combine(Base, CompareFile.Name), text);
        Assert.Matches(said, Assert.Throws<SnapshotException>(() => FrameSet.Open(Base)).Message);
    }

    /// <summary>Equal at 8 bits, not at 16: told, whatever the tolerance makes of it.</summary>
    [Fact]
    public void Pictures_of_16_bits_are_compared_at_16()
    {
        Directory.CreateDirectory(Base);
        Directory.CreateDirectory(New);
        File.WriteAllBytes(Path.Combine(Base, "deep.png"), Deep(0));
        File.WriteAllBytes(Path.Combine(New, "deep.png"), Deep(0));
        Assert.Equal(FrameVerdict.Identical, Run().Frames[0].Verdict);
        File.WriteAllBytes(Path.Combine(New, "deep.png"), Deep(30));
        var frame = Run().Frames[0];
        Assert.Equal((FrameVerdict.WithinTolerance, 30, 0), (frame.Verdict, frame.LargestDeep, frame.LargestLevels));
        Assert.Equal("within tolerance (16 bits: up to 30 of 65535, less than one level of 255)", FrameWords.Say(frame));

        static byte[] Deep(int more)
        {
            using var to = new MemoryStream();
            to.Write(PngChunks.Signature);
            PngChunks.WriteHeader(to, 4, 3, 16, 2);
            using var packed = new MemoryStream();
            using (var deflate = new System.IO.Compression.ZLibStream(packed, System.IO.Compression.CompressionLevel.Optimal, leaveOpen: true))
            {
                for (var y = 0; y < 3; y++)
                {
                    deflate.WriteByte(0);
                    for (var i = 0; i < 12; i++)
                    {
                        var v = (257 * 20 * (y + 1)) + (y == 1 && i == 5 ? more : 0);
                        deflate.Write([(byte)(v >> 8), (byte)v]);
                    }
                }
            }

            PngChunks.Write(to, "IDAT"u8, packed.ToArray());
            PngChunks.Write(to, "IEND"u8, []);
            return to.ToArray();
        }
    }

    [Fact]
    public void Identical_frames_are_stored_once_and_folders_of_plain_pictures_are_sets_too()
    {
        for (var i = 0; i < 5; i++)
        {
            SampleFrames.Save(Base, SampleFrames.Sidecar($"f{i}"), SampleFrames.Picture(1));
            FrameFile.Save(SampleFrames.Picture(1), Path.Combine(New, $"f{i}.png"));
        }

        Assert.Single(Directory.GetFiles(Path.Combine(Base, BaselineStore.PixelFolder)));
        Assert.All(Run().Frames, f => Assert.Equal(FrameVerdict.Identical, f.Verdict));
    }

    [Fact]
    public void Nothing_outside_the_set_is_read()
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        var file = Path.Combine(Base, "a" + FrameSidecar.Extension);
        File.WriteAllText(file, File.ReadAllText(file).Replace("\"pixels/", "\"../../pixels/", StringComparison.Ordinal));
        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        var result = Run();
        Assert.Equal(FrameVerdict.Unreadable, result.Frames[0].Verdict);
        Assert.Contains("lies outside its folder", result.Frames[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sidecar_that_is_no_record_is_refused_with_line_and_path()
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        var file = Path.Combine(New, "a" + FrameSidecar.Extension);
        File.WriteAllText(file, File.ReadAllText(file).Replace("\"width\": 160", "\"width\": \"wide\"", StringComparison.Ordinal));
        Assert.Matches(@"a\.frame\.json:\d+ \$\.width: ", Run().Frames[0].Message);
    }

    [Fact]
    public void Another_setting_or_a_newer_file_is_answered_anew()
    {
        Both("a", SampleFrames.Picture(1), SampleFrames.Picture(2));
        Both("b", SampleFrames.Picture(1), SampleFrames.Picture(1));
        Run(work: true);
        Assert.Equal(2, Run(work: true).Resumed);
        Assert.Equal(0, Run(new TolerancePart { Levels = 200 }, work: true).Resumed);
        Run(work: true);
        SampleFrames.Save(New, SampleFrames.Sidecar("b"), SampleFrames.Picture(3));
        var result = Run(work: true);
        Assert.Equal(1, result.Resumed);
        Assert.Equal(FrameVerdict.Changed, result.Frames[1].Verdict);
    }

    [Fact]
    public void Shards_take_each_frame_once_and_merge_to_the_whole()
    {
        for (var i = 0; i < 7; i++)
        {
            Both($"f{i}", SampleFrames.Picture(i), SampleFrames.Picture(i + (i % 2)));
        }

        var folders = new List<string>();
        for (var shard = 1; shard <= 3; shard++)
        {
            var folder = _temp[$"shard {shard}"];
            var request = new SetRequest { Base = FrameSet.Open(Base), New = FrameSet.Open(New), WorkFolder = folder, Shard = shard, Shards = 3 };
            ReportWriter.Write(SetComparison.Run(request, stop: TestContext.Current.CancellationToken), folder);
            folders.Add(folder);
        }

        var merged = ReportMerge.Merge(folders, _temp["merged"]);
        Assert.Equal(Run().Frames.Select(f => (f.Name, f.Verdict)), merged.Frames.Select(f => (f.Name, f.Verdict)));
        Assert.Equal(3, Directory.GetFiles(_temp["merged/differences"]).Length);
        Assert.Equal(7, ReportMerge.Merge([.. folders, folders[0]], _temp["twice"]).Frames.Count);

        // A part that never came: what it should have answered counts as removed.
        Assert.Equal(2, ReportMerge.Merge([folders[0], folders[1]], _temp["short"]).Count(FrameVerdict.Removed));
        var report = Path.Combine(folders[2], "report.json");
        File.WriteAllText(report, File.ReadAllText(report).Replace("\"f2\"", "\"f1\"", StringComparison.Ordinal));
        Assert.Throws<SnapshotException>(() => ReportMerge.Merge(folders, _temp["odd"]));
    }

    private void Both(string name, FrameImage before, FrameImage after)
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar(name), before);
        SampleFrames.Save(New, SampleFrames.Sidecar(name), after);
    }

    private SetResult Run(TolerancePart? asked = null, bool work = false, Func<string, bool>? only = null) => SetComparison.Run(new SetRequest
    {
        Base = FrameSet.Open(Base),
        New = FrameSet.Open(New),
        Asked = asked,
        Only = only,
        WorkFolder = work ? _temp["work"] : null,
    }, stop: TestContext.Current.CancellationToken);
}
