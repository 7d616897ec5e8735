using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Content;
using StageView.Stage.Levels;
using StageView.Wire.Universes;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.State;

/// <summary>What is told of pixels is what is seen of them: dimmer, strobe and content included.</summary>
public sealed class PixelReportTests
{
    private static readonly TimeSpan Shutter = TimeSpan.FromSeconds(.02);

    // A dimmed pixel was told as bright as an undimmed one, and a grid gave 0 lm.
    [Theory]
    [InlineData(255, 1)]
    [InlineData(26, 26 / 255f)]
    [InlineData(0, 0)]
    public void The_dimmer_counts(int dimmer, float share)
    {
        var stage = With(Scene(Strip()), TestRig.Levels((1, dimmer), (2, 255), (3, 255), (4, 255), (5, 255)));
        var pixel = stage.PixelOf(new FixtureIndex(0), new UniverseAddress(Universe(1), 4), TimeSpan.Zero, Shutter)!;
        Assert.Equal(1000 * share, Chromaticity.Luminance(pixel.Luminance), .5f);
        var report = stage.StateOf(0, TimeSpan.Zero, Shutter).Emitters[0];
        Assert.Equal(1000 * share / 4, report.PixelLuminance, .5f);
        Assert.Equal(1000 * share, report.BrightestPixel, .5f);
        // Lambert: a flat face sends π L A; .4 x .1 m, a quarter of it lit.
        Assert.Equal(MathF.PI * 1000 * share * .01f, report.FluxLumens, .02f);
    }

    [Fact]
    public void Content_counts()
    {
        var rig = Scene(Strip());
        var stage = With(rig, TestRig.Levels((1, 255), (2, 255)));
        stage.Content = [new PlacedContent(Over(rig), new Still(ContentImage.FromSrgb(1, 1, [255, 255, 255])))];
        var report = stage.StateOf(0, TimeSpan.Zero, Shutter).Emitters[0];
        Assert.Equal(500, report.PixelLuminance, 1f);
        Assert.Equal(MathF.PI * 500 * .04f, report.FluxLumens, .1f);
        Assert.Equal(500, Chromaticity.Luminance(stage.PixelOf(new FixtureIndex(0), new UniverseAddress(Universe(1), 14), TimeSpan.Zero)!.Luminance), 1f);
    }

    // At an instant the same light is told as is measured, and the strobe is named.
    [Theory]
    [InlineData(.01)]
    [InlineData(.06)]
    [InlineData(.11)]
    public void A_strobing_strip_is_told_as_bright_as_it_is_measured(double at)
    {
        var stage = With(Scene(Strip()), TestRig.Levels((1, 255), (2, 255), (3, 255), (4, 255), (5, 255), (18, 128)));
        var t = TimeSpan.FromSeconds(at);
        var report = stage.StateOf(0, t).Emitters[0];
        var lux = new LightMeter(stage.MomentAt(t), null).At(new Vector3(0, 0, -94), Vector3.UnitZ).Lux;
        // Far off an area is a point: E = Φ / (π d²) straight ahead.
        Assert.Equal(report.FluxLumens / MathF.PI / 10_000, lux, 1e-6f);
        Assert.InRange(report.StrobeHertz, 9f, 11f);
        Assert.Equal(report.IntensityNow, report.Intensity);
    }

    [Fact]
    public void A_strobe_is_dark_and_lit_by_turns()
    {
        var stage = With(Scene(Strip()), TestRig.Levels((1, 255), (2, 255), (18, 128)));
        var seen = Enumerable.Range(0, 20).Select(i => stage.StateOf(0, TimeSpan.FromSeconds(i * .013), Shutter).Emitters[0].IntensityNow).Distinct().ToList();
        Assert.Equal([0, 1], seen.Order());
    }

    [Fact]
    public void Levels_of_pixels_come_in_runs_along_the_wire()
    {
        var fixture = Levels.PixelTests.Wall(4, 2, "RGB", 1, splits: true, PixelPath.RowsSerpentine);
        var stage = With(Scene(fixture), TestRig.Levels([.. Enumerable.Range(1, 15).Select(a => (a, 9)), (22, 7), (23, 7), (24, 7)]));
        var runs = stage.PixelRunsOf(new FixtureIndex(0), TimeSpan.Zero);
        Assert.Equal(["0+5 1.1-1.15 9 9 9", "5+2 1.16-1.21 0 0 0", "7+1 1.22-1.24 7 7 7"],
            runs.Select(r => $"{r.First}+{r.Count} {r.From}-{r.To} {string.Join(' ', r.Bytes)}"));
    }

    // White stayed dark: now a pixel of four colours is mixed as a head of the same four is.
    [Theory]
    [InlineData("RGBW")]
    [InlineData("RGBA")]
    [InlineData("GRBWA")]
    public void A_pixel_with_white_or_amber_is_mixed_to_the_colour_wanted(string order)
    {
        var fixture = Levels.PixelTests.Wall(2, 1, order, 2, splits: true, PixelPath.Rows);
        var rig = Scene(fixture);
        var encoder = new LevelsEncoder(rig);
        var warm = Chromaticity.Rec709ToXyz(new Vector3(1, .8f, .6f));
        encoder.SetPixel(fixture, 0, 0, 0, new Vector3(1, .8f, .6f));
        encoder.SetPixel(fixture, 0, 1, 0, new Vector3(.5f, .4f, .3f));
        var stage = new StageModel(rig);
        encoder.SendTo(stage, TimeSpan.Zero);
        var pixels = stage.MomentAt(TimeSpan.Zero).Pixels.Span;
        var (wanted, got) = (Chromaticity.FromXyz(warm), Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(pixels[0])));
        Assert.Equal(wanted.X, got.X, 2e-3f);
        Assert.Equal(wanted.Y, got.Y, 2e-3f);
        Assert.Equal(Chromaticity.Luminance(pixels[0]) / 2, Chromaticity.Luminance(pixels[1]), .5f);
        // Brighter than red, green and blue alone could be of that colour.
        Assert.True(Chromaticity.Luminance(pixels[0]) > 400, $"{Chromaticity.Luminance(pixels[0])} cd/m²");
    }

    internal static ContentPlacement Over(RigScene rig) => new()
    {
        Name = "c", File = "c.png", FullPath = "/c.png", Corner = new(1, -1, 0), Across = new(-2, 0, 0), Down = new(0, 2, 0), Luminance = 500,
        Fixtures = [.. rig.Fixtures.Select(f => f.Index)], FacingAway = FacingAway.Mirrored,
    };

    /// <summary>1 dimmer, 2 to 17 four pixels of RGBW, 18 strobe of 0 to 20 Hz (0: open); faces down from 6 m.</summary>
    private static Fixture Strip() => Hang(Profile(
        [new()
        {
            Index = 0,
            Name = "face",
            Parent = -1,
            Pose = Pose.Identity,
            Pixels = new PixelGridData { Columns = 4, Rows = 1, Width = .4f, Height = .1f, PeakLuminance = 1000, Fill = 1 },
        }],
        [
            Channel(0, 0, [1], Function("Dimmer", 0, 255, 0, 1)),
            Channel(1, 0, [18], Function("Shutter1", 0, 0, 1, 1), Function("Shutter1Strobe", 1, 255, 0.1f, 20)),
        ],
        blocks: [new PixelBlock { Geometry = 0, FirstOffset = 2, Order = "RGBW", BytesPerComponent = 1, SplitsPixels = true }]));

    private sealed class Still(ContentImage image) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => image;
    }
}
