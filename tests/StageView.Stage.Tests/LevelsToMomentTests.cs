using System.Numerics;
using System.Runtime.InteropServices;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Sampling;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests;

public sealed class LevelsToMomentTests
{
    [Fact]
    public void A_head_at_its_defaults_is_dark_and_looks_down()
    {
        var stage = new StageModel(Scene(Head()));
        Assert.Equal(0, stage.MomentAt(TimeSpan.Zero).Beams.Length);
        var report = stage.StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(-1, report.Direction.Z, 1e-4f);
    }

    /// <summary>16 bits: 0xFFFF is 1, 0x8000 is 32768/65535 (DIN SPEC 15800: linear from DMXFrom to its end).</summary>
    [Theory]
    [InlineData(0xFF, 0xFF, 1f)]
    [InlineData(0x80, 0x00, 32768 / 65535f)]
    [InlineData(0x00, 0x01, 1 / 65535f)]
    public void Sixteen_bits(int coarse, int fine, float share)
    {
        var m = With(Scene(Head()), TestRig.Levels((1, 128), (3, 128), (5, coarse), (6, fine))).MomentAt(TimeSpan.Zero);
        Assert.Equal(10_000 * share, m.Beams.Span[0].FluxLumens, .05f);
    }

    [Fact]
    public void Twenty_four_bits_in_any_order()
    {
        // DIN SPEC 15800, DMX channel, Offset: addresses from the most to the least significant byte, in any order. Here the most significant lies last.
        var pan = Channel(0, 1, [3, 1, 2], Function("Pan", 0, 0xFFFFFF, -270, 270));
        var head = Hang(Profile(HeadNodes(), [pan]));
        var stage = With(Scene(head), TestRig.Levels((1, 0x34), (2, 0x56), (3, 0x12)));
        Assert.Equal(-270 + (540.0 * 0x123456 / 0xFFFFFF), stage.Attribute("Pan").Now, 1e-3);
    }

    [Fact]
    public void Tilt_turns_the_beam_upstage_and_pan_turns_it_round()
    {
        var rig = Scene(Head());
        var encoder = new LevelsEncoder(rig);
        Assert.True(encoder.TrySet(rig.Fixtures[0], "Tilt", 90, out _));
        Assert.True(encoder.TrySet(rig.Fixtures[0], "Dimmer", 1, out _));
        var stage = new StageModel(rig);
        encoder.SendTo(stage, TimeSpan.Zero);
        // Right-hand turn of -Z about X by 90° is +Y.
        var d = stage.MomentAt(TimeSpan.Zero).Direction();
        Assert.Equal(1, d.Y, 1e-4f);
        encoder.TrySet(rig.Fixtures[0], "Pan", 90, out _);
        encoder.SendTo(stage, TimeSpan.FromSeconds(1));
        // And +Y about Z by 90° is -X.
        d = stage.MomentAt(TimeSpan.FromSeconds(1)).Direction();
        Assert.Equal(-1, d.X, 1e-4f);
    }

    [Fact]
    public void The_apex_lies_in_the_lens_where_the_profile_spreads_as_wide_as_the_lens()
    {
        var m = With(Scene(Head()), TestRig.Levels((1, 128), (3, 128), (5, 255))).MomentAt(TimeSpan.Zero);
        var b = m.Beams.Span[0];
        Assert.Equal(0, b.StartDistance);
        Assert.Equal(5.5f, b.Apex.Z, 1e-3f);
        // All lumens evenly over a lens of 5 cm are what the axis intensity gives at that distance.
        Assert.Equal(b.FluxLumens / (MathF.PI * .05f * .05f), b.PeakCandela / (b.NearLength * b.NearLength), b.PeakCandela * 1e-3f);
    }

    /// <summary>Candelas are far-field figures about the lens: illuminance far away is candela over the square of the distance to it.</summary>
    [Theory]
    [InlineData(4, 6)]
    [InlineData(4, 4.6f)]
    [InlineData(19, 23)]
    public void Candela_over_the_square_of_the_distance_from_the_lens_is_the_illuminance(float beam, float field)
    {
        var data = new BeamData { ColourTemperature = 6504, BeamAngle = Angles.Radians(beam), FieldAngle = Angles.Radians(field), LensRadius = .075f };
        var m = With(Scene(Hang(Profile(HeadNodes(data), HeadChannels()))), TestRig.Levels((1, 128), (3, 128), (5, 255))).MomentAt(TimeSpan.Zero);
        var b = m.Beams.Span[0];
        var meter = new LightMeter(m, null);
        var lens = new Vector3(0, 0, 5.5f);
        foreach (var (distance, share) in ((float, float)[])[(5, beam < 10 ? .09f : .01f), (10, beam < 10 ? .025f : .003f), (20, .007f)])
        {
            var lux = meter.At(lens + (b.Axis * distance), -b.Axis).Lux;
            var stated = b.PeakCandela / (distance * distance);
            Assert.InRange(lux / stated, 1 - share, 1.0001f);
        }
    }

    /// <summary>
    /// Additive mixing by hand: X = Σ(x/y)Y, Z = Σ((1-x-y)/y)Y. Four emitters (.690,.308,200 lm) (.170,.720,450)
    /// (.140,.045,60) (.3127,.3290,600) at full give (.29590, .29562) and 1310 lm.
    /// </summary>
    [Fact]
    public void Emitters_add_up()
    {
        Emitter[] emitters = [new("Red", .690f, .308f, 200 / 1310f), new("Green", .170f, .720f, 450 / 1310f), new("Blue", .140f, .045f, 60 / 1310f),
            new("White", .3127f, .3290f, 600 / 1310f)];
        string[] names = ["ColorAdd_R", "ColorAdd_G", "ColorAdd_B", "ColorAdd_W"];
        var channels = names.Select((n, i) => Channel(i, 3, [i + 1], Function(n, 0, 255, 0, 1) with { Emitter = i })).ToArray();
        var rig = Scene(Hang(Profile(HeadNodes(new BeamData { LuminousFlux = 1310 }), channels, emitters: emitters)));
        var stage = With(rig, TestRig.Levels((1, 255), (2, 255), (3, 255), (4, 255)));
        var e = stage.StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(.29590f, e.Chromaticity.X, 1e-4f);
        Assert.Equal(.29562f, e.Chromaticity.Y, 1e-4f);
        Assert.Equal(1310, e.FluxLumens, .5f);
        var b = stage.MomentAt(TimeSpan.Zero).Beams.Span[0];
        Assert.Equal(1, Chromaticity.Luminance(b.Colour), 1e-4f);
        // Red alone keeps its out-of-gamut part.
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255)));
        b = stage.MomentAt(TimeSpan.FromSeconds(1)).Beams.Span[0];
        Assert.True(b.Colour.Z < 0 || b.Colour.Y < 0);
        Assert.Equal(200, b.FluxLumens, .1f);
    }

    [Fact]
    public void Samples_share_out_the_open_shutter_and_move_with_the_head()
    {
        var axis = new AxisData(AxisMotion.TurnZ, 240, 500, .1f);
        var rig = Scene(Hang(Profile(HeadNodes(pan: axis), HeadChannels(Channel(3, 3, [7], Function("Shutter1Strobe", 0, 255, .5f, 12))))));
        var stage = new StageModel(rig);
        stage.OnLevels(Universe(1), TimeSpan.Zero, TestRig.Levels((1, 0), (3, 128), (5, 255), (7, 255)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (3, 128), (5, 255), (7, 255)));
        var (at, open) = (TimeSpan.FromSeconds(1.2), TimeSpan.FromSeconds(.11));
        var whole = stage.MomentAt(at, open).Beams.Span[0];
        var parts = FrameSample.Of(8).Select(s => stage.SampleAt(at, open, s).Beams.Span.ToArray()).ToList();
        Assert.Contains(parts, p => p.Length == 0 || p[0].FluxLumens < whole.FluxLumens);
        Assert.Equal(whole.FluxLumens, parts.Sum(p => p.Sum(b => b.FluxLumens)) / 8, .01f * whole.FluxLumens);
        Assert.Equal(whole.Axis, parts[^1].Append(whole).First().Axis);
        var axes = parts.Where(p => p.Length > 0).Select(p => p[0].Axis).ToList();
        Assert.Equal(axes.Count, axes.Distinct().Count());
    }

    [Fact]
    public void A_frame_asked_for_alone_is_the_frame_in_the_run()
    {
        var axis = new AxisData(AxisMotion.TurnZ, 240, 500, .1f);
        var rig = Scene(
            Hang(Profile(HeadNodes(pan: axis, tilt: axis with { Motion = AxisMotion.TurnX }), HeadChannels(
                Channel(3, 3, [7], Function("Shutter1Strobe", 0, 255, .5f, 12)),
                Channel(4, 3, [8], Function("Zoom", 0, 255, 5, 50) with { RealFade = .8f })))));
        var random = new Random(3);
        var run = new StageModel(rig);
        var alone = new StageModel(rig);
        var frames = new List<byte[]>();
        var pending = new List<(TimeSpan At, byte[] Levels)>();
        for (var i = 0; i < 200; i++)
        {
            var levels = TestRig.Levels((1, random.Next(256)), (3, random.Next(256)), (5, 255), (7, i / 40 * 50), (8, random.Next(256)));
            pending.Add((TimeSpan.FromMilliseconds(25 * i), levels));
        }

        foreach (var (at, levels) in pending)
        {
            alone.OnLevels(Universe(1), at, levels);
        }

        foreach (var (at, levels) in pending)
        {
            run.OnLevels(Universe(1), at, levels);
            frames.Add(Bytes(run.MomentAt(at + TimeSpan.FromMilliseconds(7), TimeSpan.FromMilliseconds(20))));
        }

        foreach (var i in new[] { 199, 3, 120, 60, 61, 0 })
        {
            Assert.Equal(frames[i], Bytes(alone.MomentAt(pending[i].At + TimeSpan.FromMilliseconds(7), TimeSpan.FromMilliseconds(20))));
        }
    }

    /// <summary>Thousands of changes, so that states are put aside and thinned out; then times in any order.</summary>
    [Fact]
    public void Going_back_and_forth_gives_what_going_once_gives()
    {
        var axis = new AxisData(AxisMotion.TurnZ, 90, 200, 0);
        var profile = Profile(HeadNodes(pan: axis), HeadChannels(Channel(3, 3, [7], Function("Shutter1StrobeRandom", 0, 255, 1, 12))));
        var rig = Scene(Hang(profile), Hang(profile, 1, 2));
        var stage = new StageModel(rig);
        var once = new Dictionary<double, byte[]>();
        var random = new Random(11);
        for (var i = 0; i < 60_000; i++)
        {
            var at = TimeSpan.FromMilliseconds(25 * i);
            stage.OnLevels(Universe(1 + (i & 1)), at, TestRig.Levels((1, random.Next(256)), (5, random.Next(1, 256)), (7, random.Next(256))));
            if (i % 9973 == 0)
            {
                var t = at.TotalSeconds + .011;
                once[t] = Bytes(stage.MomentAt(TimeSpan.FromSeconds(t), TimeSpan.FromMilliseconds(40)));
            }
        }

        foreach (var (t, bytes) in once.OrderBy(_ => random.Next()))
        {
            Assert.Equal(bytes, Bytes(stage.MomentAt(TimeSpan.FromSeconds(t), TimeSpan.FromMilliseconds(40))));
        }
    }

    [Fact]
    public void Levels_of_other_universes_and_before_anything_was_heard_change_nothing()
    {
        var stage = new StageModel(Scene(Head()));
        stage.OnLevels(Universe(9), TimeSpan.Zero, TestRig.Levels((5, 255)));
        Assert.Equal(0, stage.MomentAt(TimeSpan.FromSeconds(1)).Beams.Length);
    }

    private static byte[] Bytes(Moment m) => MemoryMarshal.AsBytes(m.Beams.Span).ToArray();
}
