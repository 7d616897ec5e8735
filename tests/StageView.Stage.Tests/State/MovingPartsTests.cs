using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.State;

public sealed class MovingPartsTests
{
    /// <summary>A winch with a basket that a globe hangs in: 0 to 5 m down along -Z, 1 m/s, 2 m/s².</summary>
    private static RigScene WinchRig()
    {
        GeometryNode[] winch =
        [
            new() { Index = 0, Name = "drum", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "hook", Parent = 0, Pose = Pose.At(0, 0, -.2f), Axis = new AxisData(AxisMotion.TravelZ, 1, 2, 0) },
        ];
        GeometryNode[] globe =
        [
            new()
            {
                Index = 0,
                Name = "globe",
                Parent = -1,
                Pose = Pose.Identity,
                Beam = new BeamData { Kind = BeamKind.Glow, GlobeRadius = .2f, LuminousFlux = 800 },
            },
        ];
        var up = Hang(Profile(winch, [Channel(0, 1, [1, 2], Function("XYZ_Z", 0, 65535, 0, -5))]), 0, pose: Pose.At(1, 2, 8));
        var lamp = Hang(Profile(globe, [Channel(0, 0, [1], Function("Dimmer", 0, 255, 0, 1))]), 1, 1, 3,
            Pose.At(0, 0, -.3f)) with
        { Carrier = new CarrierPart(new FixtureIndex(0), 1) };
        var shade = new SceneryPiece { Name = "shade", Mesh = 0, Pose = Pose.At(0, 0, -.1f), Carrier = new CarrierPart(new FixtureIndex(0), 1) };
        return Scene([up, lamp], [shade], []);
    }

    [Fact]
    public void A_winch_carries_a_fixture_and_scenery()
    {
        var stage = With(WinchRig(), TestRig.Levels((3, 255)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255), (3, 255)));
        // .5 s up to 1 m/s (.25 m), then steady: after 2 s 1.75 m.
        var m = stage.MomentAt(TimeSpan.FromSeconds(3));
        Assert.Equal(8 - .2f - .3f - 1.75f, m.Beams.Span[0].Apex.Z, 1e-4f);
        Assert.Equal(8 - .2f - .1f - 1.75f, m.Scenery.Span[0].Pose.Position.Z, 1e-4f);
        Assert.Equal(8 - .5f - 5, stage.MomentAt(TimeSpan.FromSeconds(30)).Beams.Span[0].Apex.Z, 1e-4f);
    }

    /// <summary>A part that pans and tilts is two nodes, the outer one pans; what sits on it pans by itself.</summary>
    [Fact]
    public void Each_pan_turns_its_own_axis_where_one_sits_on_another()
    {
        var turn = new AxisData(AxisMotion.TurnZ, 0, 0, 0);
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "arm pan", Parent = 0, Pose = Pose.Identity, Axis = turn },
            new() { Index = 2, Name = "arm", Parent = 1, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnX, 0, 0, 0) },
            new() { Index = 3, Name = "hand", Parent = 2, Pose = Pose.At(1, 0, 0), Axis = turn, Beam = new BeamData() },
        ];
        DmxChannel[] channels =
        [
            Channel(0, 2, [1], Function("Pan", 0, 255, 0, 90)), Channel(1, 2, [2], Function("Tilt", 0, 255, 0, 90)),
            Channel(2, 3, [3], Function("Pan", 0, 255, 0, 90)), Channel(3, 3, [4], Function("Dimmer", 0, 255, 0, 1)),
        ];
        var rig = Scene(Hang(Profile(nodes, channels), pose: Pose.Identity));
        Assert.True(Vector3.Distance(Vector3.UnitY, Lens(255, 0)) < 1e-4f, Lens(255, 0).ToString());
        Assert.True(Vector3.Distance(Vector3.UnitX, Lens(0, 255)) < 1e-4f, Lens(0, 255).ToString());

        // The beam's apex lies above the lens, which looks down.
        Vector3 Lens(int arm, int hand) =>
            With(rig, TestRig.Levels((1, arm), (3, hand), (4, 255))).MomentAt(TimeSpan.Zero).Beams.Span[0].Apex with { Z = 0 };
    }

    /// <summary>A Lambertian globe: L = Φ/(4π²r²), from Φ = πL·4πr².</summary>
    [Fact]
    public void A_globe_is_a_beam_all_round_and_a_sphere_to_look_at()
    {
        var m = With(WinchRig(), TestRig.Levels((3, 255))).MomentAt(TimeSpan.Zero);
        Assert.True(m.Beams.Span[0].Profile.IsOmnidirectional);
        Assert.Equal(800 / (4 * MathF.PI), m.Beams.Span[0].PeakCandela, .01f);
        Assert.Equal(800 / (4 * MathF.PI * MathF.PI * .04f), Chromaticity.Luminance(m.Pixels.Span[0]), .5f);
    }

    [Fact]
    public void A_mirror_on_the_back_of_a_panel_turns_with_it_and_turns_the_bounce()
    {
        GeometryNode[] panel =
        [
            new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity },
            new()
            {
                Index = 1, Name = "panel", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnX, 0, 0, 0),
                Mirror = new MirrorData([new(-1, -1, 0), new(1, -1, 0), new(1, 1, 0), new(-1, 1, 0)], new MirrorSurface(.9f, 0, 1)),
            },
        ];
        var mirror = Hang(Profile(panel, [Channel(0, 1, [1, 2], Function("Tilt", 0, 65535, -90, 90))]), 1, 2, 1, Pose.At(0, 0, 0));
        var rig = Scene([Head(), mirror], [], []);
        var encoder = new LevelsEncoder(rig);
        Assert.True(encoder.TrySet(rig.Fixtures[0], "Dimmer", 1, out _));
        Assert.True(encoder.TrySet(rig.Fixtures[1], "Tilt", 0, out _));
        Assert.Equal(1, Bounced().Z, 1e-3f);
        // Turning a mirror by 20° turns the reflected ray by 40° (law of reflection): about +X, from +Z towards -Y.
        Assert.True(encoder.TrySet(rig.Fixtures[1], "Tilt", 20, out _));
        var d = Bounced();
        Assert.Equal(-MathF.Sin(40 * MathF.PI / 180), d.Y, 1e-3f);
        Assert.Equal(MathF.Cos(40 * MathF.PI / 180), d.Z, 1e-3f);

        Vector3 Bounced()
        {
            var stage = new StageModel(rig);
            encoder.SendTo(stage, TimeSpan.Zero);
            var m = stage.MomentAt(TimeSpan.Zero);
            Assert.Equal("fixture 2/panel", m.MirrorNames[m.Mirrors.Span[0].Name.Value]);
            return m.Beams.ToArray().Single(b => b.Bounces == 1).Axis;
        }
    }

    /// <summary>683 lm/W × V(λ) with V(638) between the table's .265 (630) and .175 (640), V(520) = .710, V(450) = .038 (CIE 1931 ȳ).</summary>
    [Fact]
    public void Laser_lines_follow_their_colours()
    {
        GeometryNode[] nodes =
        [
            new()
            {
                Index = 0, Name = "aperture", Parent = -1, Pose = Pose.Identity,
                Laser = new LaserData
                {
                    PowerWatts = 2, Wavelengths = [638, 520, 450], PowerShares = [.5f, .25f, .25f], ApertureMetres = .004f, DivergenceRadians = .001f,
                },
            },
        ];
        var channels = new[] { "Dimmer", "ColorAdd_R", "ColorAdd_G", "ColorAdd_B" }.Select((n, i) => Channel(i, 0, [i + 1], Function(n, 0, 255, 0, 1)))
            .ToArray();
        var rig = Scene(Hang(Profile(nodes, channels)));
        var red = With(rig, TestRig.Levels((1, 255), (2, 255))).MomentAt(TimeSpan.Zero).Lasers.Span[0];
        Assert.Equal(1, red.PowerWatts, 1e-4f);
        Assert.Equal(683 * (.265f + (.8f * (.175f - .265f))), red.FluxLumens, .1f);
        var all = With(rig, TestRig.Levels((1, 255), (2, 255), (3, 255), (4, 255))).MomentAt(TimeSpan.Zero).Lasers.Span[0];
        Assert.Equal(2, all.PowerWatts, 1e-4f);
        Assert.Equal(red.FluxLumens + (683 * .5f * (.710f + .038f)), all.FluxLumens, .1f);
        Assert.Equal(0, With(rig, TestRig.Levels((2, 255))).MomentAt(TimeSpan.Zero).Lasers.Length);
    }

    [Fact]
    public void A_body_follows_its_axis_and_never_blocks()
    {
        var nodes = HeadNodes();
        nodes[2] = nodes[2] with { Body = new BodyData(BodyShape.Box, new Vector3(.3f, .25f, .4f), 0, Pose.At(0, 0, -.05f)) };
        var m = With(Scene(Hang(Profile(nodes, HeadChannels()))), TestRig.Levels((1, 128), (3, 255), (4, 255))).MomentAt(TimeSpan.Zero);
        var body = m.Scenery.Span[0];
        Assert.False(body.BlocksLight);
        // Tilted by 130° about X from -Z: the offset of -.05 m points to (0, sin 130°, -cos 130°).
        var offset = body.Pose.Position - new Vector3(0, 0, 6 - .35f);
        Assert.Equal(.05f * MathF.Sin(130 * MathF.PI / 180), offset.Y, 1e-4f);
        Assert.Equal(-.05f * MathF.Cos(130 * MathF.PI / 180), offset.Z, 1e-4f);
    }
}
