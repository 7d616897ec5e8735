using System.Numerics;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using StageView.Wire.Universes;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Levels;

public sealed class PixelTests
{
    /// <summary>A 3 × 2 grid: places on the wire by hand.</summary>
    [Theory]
    [InlineData(PixelPath.Rows, "00 10 20 01 11 21")]
    [InlineData(PixelPath.RowsSerpentine, "00 10 20 21 11 01")]
    [InlineData(PixelPath.Columns, "00 01 10 11 20 21")]
    [InlineData(PixelPath.ColumnsSerpentine, "00 01 11 10 20 21")]
    public void Orders_on_the_wire(PixelPath path, string columnRow) =>
        Assert.Equal(columnRow, string.Join(' ', Enumerable.Range(0, 6).Select(n => path.Wired(n, 3, 2)).Select(p => $"{p.Column}{p.Row}")));

    [Theory]
    [InlineData("RGB", 1, 170)]
    [InlineData("GRBW", 1, 128)]
    [InlineData("RGB", 2, 85)]
    public void A_run_goes_on_in_the_next_universe(string order, int bytes, int firstOfNext)
    {
        var size = order.Length * bytes;
        var rig = Scene(Wall(200, 1, order, bytes, splits: false));
        var stage = new StageModel(rig);
        var levels = new byte[512];
        levels[order.IndexOf('R', StringComparison.Ordinal) * bytes] = 255;
        stage.OnLevels(new UniverseNumber(2), TimeSpan.Zero, levels);
        var pixels = stage.MomentAt(TimeSpan.Zero).Pixels.Span;
        // Pixels that may not be split: ⌊512/size⌋ to a universe.
        Assert.Equal(512 / size, firstOfNext);
        for (var i = 0; i < pixels.Length; i++)
        {
            Assert.Equal(i == firstOfNext, pixels[i].X > 1);
        }
    }

    [Fact]
    public void A_split_pixel_takes_its_components_from_both_universes()
    {
        var stage = new StageModel(Scene(Wall(200, 1, "RGB", 1, splits: true)));
        // 512 = 170 × 3 + 2: pixel 170 has red at 1.511, green at 1.512 and blue at 2.1.
        stage.OnLevels(new UniverseNumber(1), TimeSpan.Zero, TestRig.Levels((511, 255), (512, 255)));
        stage.OnLevels(new UniverseNumber(2), TimeSpan.Zero, TestRig.Levels((1, 255)));
        var p = stage.MomentAt(TimeSpan.Zero).Pixels.Span[170];
        Assert.Equal(1000, Chromaticity.Luminance(p), .5f);
        Assert.Equal(p.X, p.Z, 2f);
    }

    /// <summary>All at full gives the peak luminance; Rec.709 white is .3127, .3290.</summary>
    [Fact]
    public void Full_white_is_the_peak_luminance()
    {
        var stage = new StageModel(Scene(Wall(4, 3, "BGR", 1, splits: true)));
        var levels = new byte[512];
        Array.Fill(levels, (byte)255);
        stage.OnLevels(new UniverseNumber(1), TimeSpan.Zero, levels);
        var m = stage.MomentAt(TimeSpan.Zero);
        foreach (var p in m.Pixels.Span)
        {
            Assert.Equal(1000, Chromaticity.Luminance(p), .5f);
            var c = Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(p));
            Assert.Equal(.3127f, c.X, 1e-3f);
            Assert.Equal(.3290f, c.Y, 1e-3f);
        }

        // Front along the node's -Z, first column at its +X, top at its +Y.
        var s = m.PixelSurfaces.Span[0];
        Assert.Equal(-1, s.FrontNormal.Z, 1e-5f);
        Assert.Equal(new Vector3(2, 1, 6), s.Origin);
    }

    [Fact]
    public void The_encoder_sets_the_pixel_that_the_stage_reads()
    {
        var fixture = Wall(16, 9, "GRB", 2, splits: true, PixelPath.ColumnsSerpentine);
        var rig = Scene(fixture);
        var encoder = new LevelsEncoder(rig);
        encoder.SetPixel(fixture, 0, 5, 7, new Vector3(0, 1, 0));
        var stage = new StageModel(rig);
        encoder.SendTo(stage, TimeSpan.Zero);
        var pixels = stage.MomentAt(TimeSpan.Zero).Pixels.Span;
        for (var i = 0; i < pixels.Length; i++)
        {
            Assert.Equal(i == (7 * 16) + 5, pixels[i].Y > 1);
        }
    }

    [Fact]
    public void Cells_of_a_batten_are_surfaces_of_their_own_colour()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "bar", Parent = -1, Pose = Pose.Identity },
            .. Enumerable.Range(1, 3).Select(i => new GeometryNode
            {
                Index = i, Name = $"cell {i}", Parent = 0, Pose = Pose.At(i * .1f, 0, 0),
                Pixels = new PixelGridData { Columns = 1, Rows = 1, Width = .1f, Height = .1f, PeakLuminance = 5000 },
            }),
        ];
        var channels = Enumerable.Range(0,
            9).Select(k => Channel(k, 1 + (k / 3), [k + 1], Function(new[] { "ColorAdd_R", "ColorAdd_G", "ColorAdd_B" }[k % 3], 0, 255, 0, 1))).ToArray();
        var pixels = With(Scene(Hang(Profile(nodes, channels))), TestRig.Levels((1, 255), (4, 255), (5, 255), (6, 255))).MomentAt(TimeSpan.Zero).Pixels.Span;
        Assert.Equal(5000 * .2126f, Chromaticity.Luminance(pixels[0]), 2f);
        Assert.Equal(5000, Chromaticity.Luminance(pixels[1]), 2f);
        Assert.Equal(0, Chromaticity.Luminance(pixels[2]));
    }

    internal static Fixture Wall(int columns, int rows, string order, int bytes, bool splits, PixelPath path = PixelPath.Rows) => Hang(Profile(
        [new()
        {
            Index = 0,
            Name = "face",
            Parent = -1,
            Pose = Pose.Identity,
            Pixels = new PixelGridData { Columns = columns, Rows = rows, Width = 4, Height = 2, PeakLuminance = 1000 },
        }],
        [],
        blocks: [new PixelBlock { Geometry = 0, FirstOffset = 1, Order = order, BytesPerComponent = bytes, SplitsPixels = splits, Path = path }]));
}
