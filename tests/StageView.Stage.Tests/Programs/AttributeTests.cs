using System.Numerics;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using StageView.Stage.State;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>Levels → physical value → what the beam does, attribute by attribute; names and meanings are those of DIN SPEC 15800:2022-02, annex A.</summary>
public sealed class AttributeTests
{
    private static readonly Wheel Colours = new("Colours", [
        new("Open", Vector3.One), new("Red", new(.8f, .02f, .01f)), new("Blue", new(.02f, .05f, .6f)), new("Half", new(.5f))]);

    private static readonly Wheel Gobos = new("Gobos", [new("Open", Vector3.One), new("Dots", Vector3.One, 1), new("Bars", Vector3.One, 2)]);

    private static readonly Wheel Prisms = new("Prisms", [new("Open", Vector3.One), new("Five", Vector3.One, 0, 5, .1f)]);

    private static readonly GoboImage[] Images =
    [
        new() { Name = "dots", Size = 1, Rgb = [255, 255, 255], Transmission = .4f },
        new() { Name = "bars", Size = 1, Rgb = [255, 255, 255], Transmission = .5f },
    ];

    /// <summary>8 bits run linearly from 0 to 255: the middle, 128, is 128/255 of the range; ranges may run backwards.</summary>
    [Theory]
    [InlineData("Zoom", 5, 55, 0, 5)]
    [InlineData("Zoom", 5, 55, 128, 30.098f)]
    [InlineData("Zoom", 55, 5, 255, 5)]
    [InlineData("Iris", 0, 1, 128, .50196f)]
    [InlineData("Frost1", 0, 1, 255, 1)]
    [InlineData("Focus1", 2, 30, 64, 9.0275f)]
    [InlineData("CTO", 6500, 2700, 255, 2700)]
    [InlineData("CTB", 3200, 5600, 128, 4404.7f)]
    [InlineData("Tint", -1, 1, 255, 1)]
    [InlineData("HSB_Hue", 0, 360, 85, 120)]
    [InlineData("Shutter1Strobe", .5f, 20, 255, 20)]
    [InlineData("PanRotate", -180, 180, 0, -180)]
    [InlineData("Gobo1PosRotate", 120, -120, 0, 120)]
    public void Eight_bits_to_physical(string attribute, float from, float to, int level, float physical)
    {
        var stage = With(Scene(Head(Channel(3, attribute == "PanRotate" ? 1 : 3, [7], Function(attribute, 0, 255, from, to)))), TestRig.Levels((7, level)));
        Assert.Equal(physical, stage.Attribute(attribute).Target, MathF.Abs(physical) * 1e-5f + 1e-4f);
    }

    [Theory]
    [InlineData(ResponseCurve.Linear, .50196f)]
    [InlineData(ResponseCurve.Square, .25196f)]
    [InlineData(ResponseCurve.SCurve, .50294f)]
    [InlineData(ResponseCurve.SquareRoot, .70849f)]
    public void Dimmer_curves_at_half_and_back(ResponseCurve curve, float share)
    {
        var dimmer = Channel(0, 3, [1], Function("Dimmer", 0, 255, 0, 1) with { Curve = curve });
        var rig = Scene(Hang(Profile(HeadNodes(), [dimmer])));
        Assert.Equal(share * 10_000, With(rig, TestRig.Levels((1, 128))).MomentAt(TimeSpan.Zero).Beams.Span[0].FluxLumens, .5f);
        var encoder = new LevelsEncoder(rig);
        for (var raw = 0; raw < 256; raw += 5)
        {
            var physical = With(rig, TestRig.Levels((1, raw))).Attribute("Dimmer").Target;
            Assert.True(encoder.TrySet(rig.Fixtures[0], "Dimmer", physical, out var why), why);
            Assert.Equal(raw, encoder.LevelsOf(0)[0]);
        }
    }

    [Fact]
    public void Zoom_keeps_the_ratio_of_field_to_beam_and_the_flux()
    {
        var rig = Scene(Head(Channel(3, 3, [7], Function("Zoom", 0, 255, 5, 55))));
        Assert.Equal(5, Narrow(0).Profile.HalfBeamRadians * 2 * 180 / MathF.PI, 1e-3f);
        foreach (var level in new[] { 0, 100, 255 })
        {
            var b = Narrow(level);
            Assert.Equal(28f / 25, b.Profile.HalfFieldRadians / b.Profile.HalfBeamRadians, 1e-3f);
            Assert.Equal(10_000, b.FluxLumens, .5f);
        }

        Beam Narrow(int level) => With(rig, TestRig.Levels((5, 255), (6, 255), (7, level))).MomentAt(TimeSpan.Zero).Beams.Span[0];
    }

    [Fact]
    public void An_iris_narrows_the_beam_and_leaves_its_middle_as_bright()
    {
        var rig = Scene(Head(Channel(3, 3, [7], Function("Iris", 0, 255, 0, 1))));
        var open = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 255))).MomentAt(TimeSpan.Zero).Beams.Span[0];
        var half = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 127))).MomentAt(TimeSpan.Zero).Beams.Span[0];
        Assert.Equal(open.PeakCandela, half.PeakCandela, open.PeakCandela * 1e-4f);
        Assert.Equal(127 / 255f, half.Profile.HalfBeamRadians / open.Profile.HalfBeamRadians, 1e-3f);
        Assert.Equal(127f / 255 * 127 / 255, half.FluxLumens / open.FluxLumens, .01f);
    }

    [Fact]
    public void Frost_widens_softens_and_takes_a_little()
    {
        var rig = Scene(Head(Channel(3, 3, [7], Function("Frost1", 0, 255, 0, 1)), Channel(4, 3, [8], Function("Zoom", 0, 255, 5, 55))));
        var clear = With(rig, TestRig.Levels((5, 255), (6, 255))).MomentAt(TimeSpan.Zero).Beams.Span[0];
        var frosted = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 255))).MomentAt(TimeSpan.Zero).Beams.Span[0];
        Assert.True(frosted.Profile.HalfBeamRadians > 2 * clear.Profile.HalfBeamRadians);
        Assert.Equal(1.8226f, frosted.Profile.HalfFieldRadians / frosted.Profile.HalfBeamRadians, 1e-3f);
        Assert.Equal(.9f * clear.FluxLumens, frosted.FluxLumens, .5f);
        Assert.Equal(1, frosted.Frost);
    }

    /// <summary>Borders of channel sets: the last value of one and the first of the next differ by one.</summary>
    [Theory]
    [InlineData(0, "Open")]
    [InlineData(63, "Open")]
    [InlineData(64, "Red")]
    [InlineData(127, "Red")]
    [InlineData(128, "Blue")]
    [InlineData(191, "Blue")]
    [InlineData(192, "Half")]
    [InlineData(255, "Half")]
    public void Channel_sets_at_their_borders(int level, string set)
    {
        var stage = With(ColourRig(), TestRig.Levels((5, 255), (6, 255), (7, level)));
        Assert.Equal(set, stage.Attribute("Color1").Set);
        var slot = Colours.Slots.First(s => s.Name == set);
        var white = Chromaticity.XyzToRec709(Planckian.White(6504));
        var expected = 10_000 * Chromaticity.Luminance(slot.Colour * white);
        Assert.Equal(expected, stage.MomentAt(TimeSpan.Zero).Beams.Span[0].FluxLumens, 20f);
    }

    [Fact]
    public void A_wheel_between_two_slots_gives_their_mean()
    {
        // 4 slots: 45° of the wheel is half-way from the first to the second.
        var f = Function("Color1WheelIndex", 0, 255, 0, 360) with { Wheel = 0 };
        var profile = Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], f)), [Colours]);
        var m = With(Scene(Hang(profile)), TestRig.Levels((5, 255), (6, 255), (7, 32))).MomentAt(TimeSpan.Zero);
        var share = 32f / 255 * 4;
        var filter = Vector3.Lerp(Vector3.One, Colours.Slots[1].Colour, share);
        var expected = 10_000 * Chromaticity.Luminance(filter * Chromaticity.XyzToRec709(Planckian.White(6504)));
        Assert.Equal(expected, m.Beams.Span[0].FluxLumens, 20f);
    }

    [Fact]
    public void A_wheel_that_takes_time_passes_the_slots_between()
    {
        var profile = Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], SlotFunction("Color1", 0, 4) with { RealFade = 1.5f })), [Colours]);
        var stage = With(Scene(Hang(profile)), TestRig.Levels((5, 255), (6, 255), (7, 0)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((5, 255), (6, 255), (7, 255)));
        // Three slots in 1.5 s: after half a second it stands on the second, red.
        var red = stage.MomentAt(TimeSpan.FromSeconds(1.5)).Beams.Span[0];
        Assert.True(red.Colour.X > 3 && red.Colour.Y < .5f, $"{red.Colour}");
        Assert.Equal(4, stage.Attribute("Color1", 2.5).Now, 1e-4);
    }

    [Fact]
    public void Gobos_take_their_share_of_the_flux_once_and_turn()
    {
        var profile = Profile(
            HeadNodes(),
            HeadChannels(Channel(3, 3, [7], SlotFunction("Gobo1", 0, 3)),
                Channel(4, 3, [8], Function("Gobo1Pos", 0, 127, 0, 360), Function("Gobo1PosRotate", 128, 255, -90, 90))),
            [Gobos]);
        var rig = Scene([Hang(profile)], [], [], Images);
        var stage = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 100), (8, 32)));
        var b = stage.MomentAt(TimeSpan.Zero).Beams.Span[0];
        Assert.Equal((1, 10_000f), (b.Gobo.Image, MathF.Round(b.FluxLumens)));
        Assert.Equal(4000, stage.StateOf(0, TimeSpan.Zero).Emitters[0].FluxLumens, 1f);
        Assert.Equal(32f / 127 * 2 * MathF.PI, b.Gobo.RotationRadians, 1e-4f);
        Assert.Equal("dots", stage.StateOf(0, TimeSpan.Zero).Emitters[0].Gobo);
        // Turning starts from where it stood: 90°/s for a third of a second is another 30°.
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((5, 255), (6, 255), (7, 100), (8, 255)));
        b = stage.MomentAt(TimeSpan.FromSeconds(1 + (1 / 3.0))).Beams.Span[0];
        Assert.Equal((32f / 127 * 360) + 30, b.Gobo.RotationRadians * 180 / MathF.PI, .01f);
        // Open again takes nothing.
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(2), TestRig.Levels((5, 255), (6, 255)));
        Assert.Equal((0, 10_000f), (stage.MomentAt(TimeSpan.FromSeconds(2)).Beams.Span[0].Gobo.Image,
            MathF.Round(stage.MomentAt(TimeSpan.FromSeconds(2)).Beams.Span[0].FluxLumens)));
    }

    [Fact]
    public void A_shaken_gobo_swings_about_its_place()
    {
        var shake = Function("Gobo1SelectShake", 0, 255, 1, 1) with { Wheel = 0, Sets = [new("Dots", 0, 255, 1, 1, 2)] };
        var rig = Scene([Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], shake)), [Gobos]))], [], [], Images);
        var stage = With(rig, TestRig.Levels((5, 255), (6, 255)));
        var quarter = stage.MomentAt(TimeSpan.FromSeconds(.25)).Beams.Span[0].Gobo.OffsetX;
        var half = stage.MomentAt(TimeSpan.FromSeconds(.5)).Beams.Span[0].Gobo.OffsetX;
        Assert.Equal(.15f, quarter, 1e-4f);
        Assert.Equal(0, half, 1e-4f);
    }

    [Fact]
    public void An_animation_wheel_shows_when_no_gobo_does()
    {
        var wheel = Function("AnimationWheel1", 0, 255, 0, 1) with { Wheel = 0, Sets = [new("In", 0, 255, 0, 1, 3)] };
        var rig =
            Scene(
                [Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], wheel), Channel(4, 3, [8], Function("AnimationWheel1PosRotate", 0, 255, -60, 60))),
                    [Gobos]))], [], [], Images);
        var b = With(rig, TestRig.Levels((5, 255), (6, 255), (8, 255))).MomentAt(TimeSpan.FromSeconds(.5)).Beams.Span[0];
        Assert.Equal(2, b.Gobo.Image);
        Assert.Equal(30, b.Gobo.RotationRadians * 180 / MathF.PI, .01f);
    }

    [Fact]
    public void A_prism_gives_a_beam_a_facet_round_the_axis()
    {
        var profile = Profile(
            HeadNodes(), HeadChannels(Channel(3, 3, [7], SlotFunction("Prism1", 0, 2)), Channel(4, 3, [8], Function("Prism1Pos", 0, 255, 0, 360))), [Prisms]);
        var stage = With(Scene(Hang(profile)), TestRig.Levels((1, 128), (3, 128), (5, 255), (6, 255), (7, 255)));
        var beams = stage.MomentAt(TimeSpan.Zero).Beams.Span;
        Assert.Equal(5, beams.Length);
        var sum = Vector3.Zero;
        foreach (var b in beams)
        {
            Assert.Equal(2000, b.FluxLumens, .5f);
            Assert.Equal(MathF.Cos(.1f), Vector3.Dot(b.Axis, -Vector3.UnitZ), 1e-4f);
            sum += b.Axis;
        }

        Assert.Equal(0, sum.X, 2e-3f);
        Assert.Equal(0, sum.Y, 2e-3f);
    }

    [Fact]
    public void Mode_masters_choose_between_functions_on_the_same_values()
    {
        // DIN SPEC 15800, channel function, ModeMaster with ModeFrom and ModeTo; the angles are invented.
        var zoom = Channel(
            3, 3, [7],
            Function("Zoom", 0, 255, 20, 2) with { Name = "Narrow", ModeMaster = 4, ModeFrom = 0, ModeTo = 99 },
            Function("Zoom", 0, 255, 40, 4) with { Name = "Wide", ModeMaster = 4, ModeFrom = 100, ModeTo = 255 });
        var rig = Scene(Head(zoom, Channel(4, 3, [8], Function("Gobo2", 0, 255, 0, 1))));
        Assert.Equal(("Narrow", 20f), Zoomed(99));
        Assert.Equal(("Wide", 40f), Zoomed(100));
        (string, float) Zoomed(int gobo)
        {
            var a = With(rig, TestRig.Levels((8, gobo))).Attribute("Zoom");
            return (a.Function, a.Target);
        }

        // And the encoder sets the master that its function needs.
        var encoder = new LevelsEncoder(rig);
        Assert.True(encoder.TrySet(rig.Fixtures[0], "Zoom", 40, out var why), why);
        Assert.Equal(100, encoder.LevelsOf(0)[7]);
    }

    [Fact]
    public void Relations_multiply_or_override()
    {
        var own = Channel(0, 3, [1], Function("Dimmer", 0, 255, 0, 1));
        var master = Channel(1, 0, [2], Function("Control1", 0, 255, 0, 1));
        Assert.Equal(10_000f * 128 / 255 * 51 / 255, Flux(RelationKind.Multiply), .5f);
        Assert.Equal(10_000f * 51 / 255, Flux(RelationKind.Override), .5f);
        float Flux(RelationKind kind) =>
            With(Scene(Hang(Profile(HeadNodes(), [own, master], relations: [new(1, 0, 0, kind)]))),
                TestRig.Levels((1, 128), (2, 51))).MomentAt(TimeSpan.Zero).Beams.Span[0].FluxLumens;
    }

    [Fact]
    public void A_dimmer_above_acts_on_all_below_and_one_without_an_address_counts_as_open()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "bar", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "cell 1", Parent = 0, Pose = Pose.At(-.2f, 0, 0), Beam = new BeamData { LuminousFlux = 1000 } },
            new() { Index = 2, Name = "cell 2", Parent = 0, Pose = Pose.At(.2f, 0, 0), Beam = new BeamData { LuminousFlux = 1000 } },
        ];
        DmxChannel[] channels =
        [
            Channel(0, 0, [3], Function("Dimmer", 0, 255, 0, 1)),
            Channel(1, 1, [1], Function("Dimmer", 0, 255, 0, 1)),
            Channel(2, 2, [2], Function("Dimmer", 0, 255, 0, 1)),
        ];
        Check(channels, .2f);
        Check([channels[0] with { Offsets = [], Default = 51 }, channels[1], channels[2]], 1);
        void Check(DmxChannel[] channels, float above)
        {
            var beams = With(Scene(Hang(Profile(nodes, channels))), TestRig.Levels((1, 255), (2, 102), (3, 51))).MomentAt(TimeSpan.Zero).Beams.Span;
            Assert.Equal(1000 * above, beams[0].FluxLumens, .1f);
            Assert.Equal(400 * above, beams[1].FluxLumens, .1f);
        }
    }

    [Fact]
    public void Subtractive_flags_and_temperatures()
    {
        var rig = Scene(Head(
            Channel(3, 3, [7], Function("ColorSub_C", 0, 255, 0, 1)), Channel(4, 3, [8], Function("ColorSub_M", 0, 255, 0, 1)),
            Channel(5, 3, [9], Function("ColorSub_Y", 0, 255, 0, 1)), Channel(6, 3, [10], Function("CTO", 0, 255, 6504, 2700))));
        var open = Report();
        var blue = Report((7, 255), (8, 255));
        var warm = Report((10, 255));
        Assert.Equal(Planckian.Locus(6504).X, open.Chromaticity.X, 2e-3f);
        Assert.True(blue.Chromaticity.Y < .2f && blue.FluxLumens < .2f * open.FluxLumens, $"{blue}");
        // Kang et al.: 2700 K is .45931, .41066; an ideal filter from 6500 K costs more than half the light.
        Assert.Equal(.45931f, warm.Chromaticity.X, 1e-3f);
        Assert.Equal(.41066f, warm.Chromaticity.Y, 1e-3f);
        Assert.InRange(warm.FluxLumens / open.FluxLumens, .3f, .6f);
        EmitterReport Report(params (int, int)[] levels) => With(rig, TestRig.Levels([(5, 255), (6, 255), .. levels])).StateOf(0, TimeSpan.Zero).Emitters[0];
    }

    [Fact]
    public void Hue_saturation_and_brightness()
    {
        var rig = Scene(Hang(Profile(HeadNodes(), [
            Channel(0, 3, [1], Function("HSB_Hue", 0, 255, 0, 360)), Channel(1, 3, [2], Function("HSB_Saturation", 0, 255, 0, 1)),
            Channel(2, 3, [3], Function("HSB_Brightness", 0, 255, 0, 1))])));
        var green = With(rig, TestRig.Levels((1, 85), (2, 255), (3, 255))).StateOf(0, TimeSpan.Zero).Emitters[0];
        // BT.709's green: .300, .600, with .7152 of the luminance of white.
        Assert.Equal(.3f, green.Chromaticity.X, 1e-3f);
        Assert.Equal(.6f, green.Chromaticity.Y, 1e-3f);
        Assert.Equal(7152, green.FluxLumens, 5f);
    }

    [Fact]
    public void Tint_goes_off_the_locus_towards_green_and_magenta()
    {
        var rig = Scene(Head(Channel(3, 3, [7], Function("Tint", 0, 255, -1, 1)), Channel(4, 3, [8], Function("CTC", 0, 255, 2700, 8000))));
        var green = With(rig, TestRig.Levels((5, 255), (7, 255), (8, 140))).StateOf(0, TimeSpan.Zero).Emitters[0].Chromaticity;
        var magenta = With(rig, TestRig.Levels((5, 255), (7, 0), (8, 140))).StateOf(0, TimeSpan.Zero).Emitters[0].Chromaticity;
        var locus = Planckian.Locus(2700 + (140f / 255 * 5300));
        Assert.True(green.Y > locus.Y + .01f && magenta.Y < locus.Y - .01f);
    }

    [Fact]
    public void Continuous_pan_turns_on_and_comes_back_the_short_way()
    {
        var pan = Channel(0, 1, [1], Function("Pan", 0, 127, -270, 270), Function("PanRotate", 128, 255, 90, 90));
        var nodes = HeadNodes(pan: new AxisData(AxisMotion.TurnZ, 180, 720, 0));
        var stage = With(Scene(Hang(Profile(nodes, [pan]))), TestRig.Levels((1, 128)));
        // 90°/s² × ... from rest: 720°/s² for 1/8 s, then steady.
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(10), TestRig.Levels((1, 64)));
        var late = stage.Attribute("Pan", 12.5);
        Assert.Equal(late.Target, late.Now, 1e-3f);
        Assert.True(double.IsPositiveInfinity(stage.StateOf(0, TimeSpan.FromSeconds(5)).Attributes[0].ArrivesIn));
    }

    [Fact]
    public void A_speed_channel_slows_the_axis()
    {
        var nodes = HeadNodes(pan: new AxisData(AxisMotion.TurnZ, 180, 0, 0));
        var rig = Scene(Hang(Profile(nodes, HeadChannels(Channel(3, 1, [7], Function("PositionMSpeed", 0, 255, 0, 1))))));
        var stage = With(rig, TestRig.Levels((1, 0), (7, 255)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255), (7, 255)));
        Assert.Equal(-270 + 180, stage.Attribute("Pan", 2).Now, .01);
        stage = With(rig, TestRig.Levels((1, 0), (7, 51)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255), (7, 51)));
        Assert.Equal(-270 + 36, stage.Attribute("Pan", 2).Now, .01);
    }

    [Fact]
    public void What_is_not_simulated_is_said()
    {
        var stage = With(Scene(Head(Channel(3, 0, [7], Function("Control1", 0, 255, 0, 1)), Channel(4, 0, [8], Function("Fog1", 0, 255, 0, 1)),
            Channel(5, 0, [9], Function("Effects1", 0, 255, 0, 1)))), TestRig.Levels((5, 255)));
        Assert.False(stage.Attribute("Control1").IsSimulated);
        Assert.False(stage.Attribute("Fog1").IsSimulated);
        Assert.False(stage.Attribute("Effects1").IsSimulated);
        Assert.True(stage.Attribute("Dimmer").IsSimulated);
    }

    private static RigScene ColourRig() => Scene(Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], SlotFunction("Color1", 0, 4))), [Colours])));

    /// <summary>Slots that share 0 to 255 in equal parts.</summary>
    private static ChannelFunction SlotFunction(string attribute, int wheel, int slots) => Function(attribute, 0, 255, 0, 1) with
    {
        Wheel = wheel,
        Sets = [.. Enumerable.Range(0, slots).Select(i => new ChannelSet(
            (wheel, slots) switch { (0, 4) => Colours.Slots[i].Name, (0, 3) => Gobos.Slots[i].Name, _ => Prisms.Slots[i].Name },
            (uint)(256 * i / slots), (uint)((256 * (i + 1) / slots) - 1), 0, 1, i + 1))],
    };
}
