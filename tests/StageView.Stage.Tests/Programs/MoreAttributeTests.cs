using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;
using StageView.Wire.Universes;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>The less common attributes of DIN SPEC 15800:2022-02, annex A.</summary>
public sealed class MoreAttributeTests
{
    private static readonly Wheel Three = new("Three", [new("Open", Vector3.One), new("Dots", Vector3.One, 1), new("Bars", Vector3.One, 2)]);

    private static readonly Wheel Colours =
        new("Colours", [new("Open", Vector3.One), new("Green", new(.1f, .8f, .1f)), new("Blue", new(.02f, .05f, .6f)), new("Red", new(.9f, 0, 0))]);

    private static readonly Wheel Prisms = new("Prisms", [new("Open", Vector3.One), new("Four", Vector3.One, 0, 4, .08f)]);

    private static readonly GoboImage[] Images =
    [
        new() { Name = "dots", Size = 1, Rgb = [255, 255, 255], Transmission = .4f },
        new() { Name = "bars", Size = 1, Rgb = [255, 255, 255], Transmission = .5f },
    ];

    [Fact]
    public void Focus_in_metres_and_as_a_share()
    {
        Assert.Equal(2 + (28 * 128 / 255f), Focus(2, 30), .01f);
        // A share of the lens's travel, even in 1/distance between 2 m and 60 m.
        Assert.Equal(1 / (.5f + ((1 / 60f) - .5f) * 128 / 255f), Focus(0, 1), .01f);
        static float Focus(float from, float to) =>
            With(Scene(Head(Channel(3, 3, [7], Function("Focus1", 0, 255, from, to)))),
                TestRig.Levels((5, 255), (7, 128))).MomentAt(TimeSpan.Zero).Beams.Span[0].FocusDistance;
    }

    [Fact]
    public void Chromaticity_by_coordinates()
    {
        var rig = Scene(Head(Channel(3, 3, [7, 8], Function("CIE_X", 0, 65535, 0, 1)), Channel(4, 3, [9, 10], Function("CIE_Y", 0, 65535, 0, 1))));
        var c = With(rig, TestRig.Levels((5, 255), (7, 0x4C), (8, 0xCC), (9, 0x66), (10, 0x66))).StateOf(0, TimeSpan.Zero).Emitters[0].Chromaticity;
        Assert.Equal(.3f, c.X, 1e-3f);
        Assert.Equal(.4f, c.Y, 1e-3f);
    }

    /// <summary>Direct mixing: BT.709's red has .2126 of white's luminance at .640, .330.</summary>
    [Fact]
    public void Direct_red_green_blue()
    {
        string[] names = ["ColorRGB_Red", "ColorRGB_Green", "ColorRGB_Blue"];
        var rig = Scene(Hang(Profile(HeadNodes(), [.. names.Select((n, i) => Channel(i, 3, [i + 1], Function(n, 0, 255, 0, 1)))])));
        var red = With(rig, TestRig.Levels((1, 255))).StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(2126, red.FluxLumens, 2f);
        Assert.Equal(.640f, red.Chromaticity.X, 1e-3f);
        var white = With(rig, TestRig.Levels((1, 255), (2, 255), (3, 255))).StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(10_000, white.FluxLumens, 2f);
        Assert.Equal(.3290f, white.Chromaticity.Y, 1e-3f);
    }

    /// <summary>A flag towards blue: Kang's locus for 5600 K, from a 3200 K lamp, costs light.</summary>
    [Fact]
    public void Correction_to_blue()
    {
        var head = Hang(Profile(HeadNodes(new BeamData { ColourTemperature = 3200 }), HeadChannels(Channel(3, 3, [7], Function("CTB", 0, 255, 3200, 5600)))));
        var open = With(Scene(head), TestRig.Levels((5, 255), (6, 255))).StateOf(0, TimeSpan.Zero).Emitters[0];
        var blue = With(Scene(head), TestRig.Levels((5, 255), (6, 255), (7, 255))).StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(.33011f, blue.Chromaticity.X, 1e-3f);
        Assert.Equal(.33909f, blue.Chromaticity.Y, 1e-3f);
        Assert.InRange(blue.FluxLumens / open.FluxLumens, .2f, .6f);
    }

    [Fact]
    public void A_spinning_colour_wheel_comes_round()
    {
        var spin = Function("Color1WheelSpin", 0, 255, -180, 180) with { Wheel = 0 };
        var stage = With(Scene(Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], spin)), [Colours]))), TestRig.Levels((5, 255), (6, 255), (7, 255)));
        // 180°/s over four slots: two slots a second, open again after two.
        Assert.Equal(10_000, Flux(0), 60f);
        Assert.True(Flux(.5) < 8000 && Flux(1) < 1500 && Flux(1.5) < 3000);
        Assert.Equal(10_000, Flux(2), 60f);
        float Flux(double t) => stage.MomentAt(TimeSpan.FromSeconds(t)).Beams.Span[0].FluxLumens;
    }

    [Fact]
    public void A_gobo_wheel_by_its_angle_and_spinning()
    {
        var rig =
            Scene(
                [
                    Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], Function("Gobo1WheelIndex", 0, 127, 0, 360) with { Wheel = 0 },
                        Function("Gobo1WheelSpin", 128, 255, 120, 120) with { Wheel = 0 })), [Three]))], [], [], Images);
        // A third of a turn is the second slot, a little more pushes it out of the middle.
        var at = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 44))).MomentAt(TimeSpan.Zero).Beams.Span[0].Gobo;
        Assert.Equal(1, at.Image);
        Assert.Equal(((44f / 127 * 3) - 1) * 2.2f, at.OffsetX, 1e-3f);
        var stage = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 200)));
        Assert.Equal(2, stage.MomentAt(TimeSpan.FromSeconds(2)).Beams.Span[0].Gobo.Image);
        Assert.Equal(0, stage.MomentAt(TimeSpan.FromSeconds(3)).Beams.Span[0].Gobo.Image);
    }

    [Fact]
    public void Selecting_a_turning_gobo_and_a_turning_prism()
    {
        var gobo = Function("Gobo1SelectSpin", 0, 255, 45, 45) with { Wheel = 0, Sets = [new("Bars", 0, 255, 45, 45, 3)] };
        var prism = Function("Prism1SelectSpin", 128, 255, 90, 90) with { Wheel = 1, Sets = [new("Four", 128, 255, 90, 90, 2)] };
        var rig = Scene([Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], gobo), Channel(4, 3, [8], prism)), [Three, Prisms]))], [], [], Images);
        var beams = With(rig, TestRig.Levels((5, 255), (6, 255), (8, 200))).MomentAt(TimeSpan.FromSeconds(1)).Beams.Span;
        Assert.Equal(4, beams.Length);
        Assert.Equal(2, beams[0].Gobo.Image);
        Assert.Equal(45, beams[0].Gobo.RotationRadians * 180 / MathF.PI, .01f);
        Assert.Equal(90, beams[0].Prism.RotationRadians * 180 / MathF.PI, .01f);
        Assert.Equal(10_000f / 4, beams[0].FluxLumens, .5f);
    }

    [Theory]
    [InlineData(10, 1f)]
    [InlineData(100, .5f)]
    [InlineData(200, .5f)]
    public void Strobe_by_frequency_and_mode(int mode, float share)
    {
        var rig = Scene(Head(
            Channel(3, 3, [7], Function("StrobeModeShutter", 0, 49, 0, 1), Function("StrobeModeStrobe", 50, 149, 0, 1),
                Function("StrobeModePulse", 150, 255, 0, 1)),
            Channel(4, 3, [8], Function("StrobeFrequency", 0, 255, 0, 25.5f))));
        var m = With(rig, TestRig.Levels((5, 255), (6, 255), (7, mode), (8, 100))).MomentAt(TimeSpan.FromSeconds(2), TimeSpan.FromSeconds(1));
        Assert.Equal(10_000 * share, m.Beams.Span[0].FluxLumens, 5f);
    }

    [Fact]
    public void Tilt_that_turns_on_and_on()
    {
        var nodes = HeadNodes(tilt: new AxisData(AxisMotion.TurnX, 200, 0, 0));
        var stage = With(Scene(Hang(Profile(nodes, HeadChannels(Channel(3, 2, [7], Function("TiltRotate", 0, 255, -90, 90)))))),
            TestRig.Levels((1, 128), (3, 128), (5, 255), (7, 255)));
        // 90°/s: after a second it looks upstage, after two straight up.
        Assert.Equal(1, stage.MomentAt(TimeSpan.FromSeconds(1)).Direction().Y, 1e-3f);
        Assert.Equal(1, stage.MomentAt(TimeSpan.FromSeconds(2)).Direction().Z, 1e-3f);
    }

    [Fact]
    public void Two_dimmers_one_over_the_other_and_a_real_fade()
    {
        var fading = Channel(0, 0, [1], Function("Dimmer", 0, 255, 0, 1) with { RealFade = 2 });
        var cell = Channel(1, 3, [2], Function("Dimmer", 0, 255, 0, 1));
        var stage = With(Scene(Hang(Profile(HeadNodes(), [fading, cell]))), TestRig.Levels((2, 255)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255)));
        Assert.Equal(2500, stage.MomentAt(TimeSpan.FromSeconds(1.5)).Beams.Span[0].FluxLumens, 1f);
        Assert.Equal(10_000, stage.MomentAt(TimeSpan.FromSeconds(3.5)).Beams.Span[0].FluxLumens, 1f);
    }

    [Fact]
    public void A_photometric_web_replaces_the_curve()
    {
        var web = new PhotometricWeb
        {
            Name = "measured", PolarRadians = [0, .1f, .2f, .4f], AzimuthRadians = [0], Relative = [1, .6f, .1f, 0], PeakCandela = 12_000, Lumens = 800,
        };
        var rig = Scene(Hang(Profile(HeadNodes(new BeamData { Web = 0, LuminousFlux = 1600 }), HeadChannels()))) with { Webs = [web] };
        var b = With(rig, TestRig.Levels((5, 255), (6, 255))).MomentAt(TimeSpan.Zero).Beams.Span[0];
        // The file's intensity for its lumens, scaled to the fixture's flux.
        Assert.Equal(24_000, b.PeakCandela, 1f);
        Assert.Equal(new WebIndex(0), b.Profile.Web);
    }

    [Fact]
    public void An_address_of_a_pixel_names_it()
    {
        var profile = Profile(
            [new()
            {
                Index = 0,
                Name = "face",
                Parent = -1,
                Pose = Pose.Identity,
                Pixels = new PixelGridData { Columns = 3, Rows = 2, Width = 1, Height = 1, PeakLuminance = 1000 },
            }],
            [], blocks: [new PixelBlock { Geometry = 0, FirstOffset = 1, Order = "GRB", Path = PixelPath.RowsSerpentine }]);
        var stage = With(Scene(Hang(profile)), TestRig.Levels((14, 255)));
        // Serpentine: the fourth pixel on the wire is the last of the second row; 1.14 is the red of the fifth.
        var p = stage.PixelOf(new FixtureIndex(0), new UniverseAddress(Universe(1), 14), TimeSpan.Zero)!;
        Assert.Equal(("face", 1, 1, 'R'), (p.Geometry, p.Column, p.Row, p.Component));
        Assert.Equal(212.6f, Chromaticity.Luminance(p.Luminance), .5f);
        Assert.Null(stage.PixelOf(new FixtureIndex(0), new UniverseAddress(Universe(1), 400), TimeSpan.Zero));
    }
}
