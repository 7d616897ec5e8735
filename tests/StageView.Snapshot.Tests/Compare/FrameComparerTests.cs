using StageView.Snapshot.Compare;
using StageView.Snapshot.Images;
using StageView.Snapshot.Tests.Planted;

namespace StageView.Snapshot.Tests.Compare;

public sealed class FrameComparerTests
{
    private static readonly FrameImage _stage = PlantedPairs.Stage(0, 0);

    [Fact]
    public void Equal_pixels_are_identical()
    {
        var result = FrameComparer.Compare(_stage, _stage.Clone(), CompareSettings.Default);
        Assert.Equal(FrameVerdict.Identical, result.Verdict);
        Assert.Null(result.Map);
    }

    [Fact]
    public void Another_size_is_told_as_such() =>
        Assert.Equal(
            FrameVerdict.SizeMismatch,
            FrameComparer.Compare(_stage, new FrameImage(_stage.Width, _stage.Height - 1), CompareSettings.Default).Verdict);

    [Theory]
    [InlineData(2, FrameVerdict.WithinTolerance)]
    [InlineData(3, FrameVerdict.Changed)]
    public void The_tolerance_is_the_largest_difference_that_passes(int difference, FrameVerdict verdict)
    {
        var after = _stage.Clone();
        after.At(100, 20)[1] += (byte)difference;
        var result = FrameComparer.Compare(_stage, after, CompareSettings.Default);
        Assert.Equal(verdict, result.Verdict);
        Assert.Equal(difference, result.LargestLevels);
    }

    [Fact]
    public void Painted_black_is_left_out_and_counted()
    {
        var after = _stage.Clone();
        after.Set(10, 10, 255, 0, 0);
        var mask = new FrameImage(_stage.Width, _stage.Height);
        Array.Fill<byte>(mask.Rgba, 255);
        Assert.Equal(FrameVerdict.Changed, FrameComparer.Compare(_stage, after, CompareSettings.Default, new FrameMask(mask)).Verdict);
        mask.Set(10, 10, 0, 0, 0);
        var result = FrameComparer.Compare(_stage, after, CompareSettings.Default, new FrameMask(mask));
        Assert.Equal(FrameVerdict.Identical, result.Verdict);
        Assert.Equal(1, result.IgnoredPixels);
    }

    [Fact]
    public void A_region_has_its_own_tolerance_and_its_changes_lie_where_they_are()
    {
        var after = _stage.Clone();
        after.Set(600, 20, 40, 40, 40);
        var region = new CompareRegion { Name = "wall", Left = 0.9, Top = 0, Width = 0.1, Height = 0.2, Levels = 60 };
        Assert.Equal(FrameVerdict.WithinTolerance, Compare(region).Verdict);
        var strict = Compare(region with { Levels = 10 });
        Assert.Equal(FrameVerdict.Changed, strict.Verdict);
        Assert.Equal(PixelChange.Changed, strict.Map![600, 20]);
        Assert.Equal(1, strict.ChangedPixels);
        Assert.Equal(FrameVerdict.Identical, Compare(region with { Ignore = true }).Verdict);

        FrameComparison Compare(CompareRegion r) => FrameComparer.Compare(_stage, after, CompareSettings.Default with { Regions = [r] });
    }

    [Fact]
    public void A_share_of_the_frame_may_change_when_told()
    {
        var after = _stage.Clone();
        after.Set(10, 10, 255, 0, 0);
        var share = 1.0 / _stage.PixelCount;
        Assert.Equal(FrameVerdict.WithinTolerance, FrameComparer.Compare(_stage, after, CompareSettings.Default with { ChangedShare = share }).Verdict);
        Assert.Equal(FrameVerdict.Changed, FrameComparer.Compare(_stage, after, CompareSettings.Default with { ChangedShare = share / 2 }).Verdict);
    }

    /// <summary>OKLab of the primaries as CSS Color Module Level 4 and B. Ottosson's page give them (to three digits).</summary>
    [Theory]
    [InlineData(1, 1, 1, 1.000, 0.000, 0.000)]
    [InlineData(1, 0, 0, 0.628, 0.225, 0.126)]
    [InlineData(0, 1, 0, 0.866, -0.234, 0.179)]
    [InlineData(0, 0, 1, 0.452, -0.032, -0.312)]
    public void OKLab_is_the_published_one(float r, float g, float b, double lightness, double a, double bb)
    {
        var (l, x, y) = OkLab.From(System.Runtime.Intrinsics.Vector256.Create(r), System.Runtime.Intrinsics.Vector256.Create(g),
            System.Runtime.Intrinsics.Vector256.Create(b));
        Assert.Equal(lightness, l[0], 0.0006);
        Assert.Equal(a, x[3], 0.0006);
        Assert.Equal(bb, y[7], 0.0006);
    }
}
