using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Seen;
using StageView.Light.Unfolding;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Rig.Scene;
using StageView.Show.Sources;

namespace StageView.Live.Tests.Shown;

/// <summary>Which fixture a click means.</summary>
public sealed class PickerTests
{
    private static readonly FixtureIndex s_spot = new(0), s_lamp = new(1), s_weak = new(2);

    [Fact]
    public void In_a_beam_that_a_lamps_light_fills_the_beam_is_picked_and_the_lamp_told_too()
    {
        var m = Room(spot: 20000, lamp: 400);
        var there = Pick(m, new Vector3(1, 2, 3));
        Assert.Equal(s_spot, there[0].Fixture);
        Assert.Contains(there, c => c.Fixture == s_lamp);
        Assert.InRange(there.Sum(c => c.Share), .95, 1.001);
        Assert.True(there[0].Share > .5);

        // The same place when the lamp is the brighter one.
        Assert.Equal(s_lamp, Pick(Room(spot: 200, lamp: 40000), new Vector3(1, 2, 3))[0].Fixture);
    }

    [Fact]
    public void A_head_that_is_seen_is_picked_whatever_shines_before_it()
    {
        var there = Pick(Room(spot: 20000, lamp: 400), new Vector3(-3.03f, 4, 1.01f));
        Assert.Equal(s_weak, there[0].Fixture);
        Assert.True(there.Count > 1);
    }

    [Fact]
    public void Where_nothing_shines_a_head_that_is_only_just_missed_is_picked()
    {
        var dark = Room(spot: 0, lamp: 0);
        Assert.Equal(s_weak, Assert.Single(Pick(dark, new Vector3(-3, 4, 1.2f))).Fixture);
        Assert.Empty(Pick(dark, new Vector3(-3, 4, 3)));
    }

    /// <summary>Points of the demo's densest moments, judged by the integral that judges pictures.</summary>
    [Theory]
    [InlineData("globe wave", "side")]
    [InlineData("mirror moment", "mirror moment")]
    public void In_the_demo_the_fixture_that_gives_most_light_is_picked(string cue, string from)
    {
        var rig = RigLoader.TryLoad(Repo.File("scenes/foundry/foundry.rig.jsonc"), out var loaded, out _) ? loaded : throw new InvalidOperationException();
        var capture = Repo.File("scenes/foundry/foundry.pcapng");
        using var show = new CaptureShow(rig, capture);
        var at = CueTimes.Find(capture, cue).Time;
        show.FeedTo(at);
        var moment = show.Stage.MomentAt(at, ShownFeed.Shutter);
        var scene = OcclusionScene.From(moment);
        var (haze, lamps, meter) = (new ReferenceRadiance(moment, scene, .02), new ReferenceRadiance(moment, null, .02), new LightMeter(moment, scene));
        var camera = rig.Cameras.First(c => c.Name == from);
        var view = Viewpoint.Start with { Position = camera.Position, Target = camera.Target, FieldRadians = camera.VerticalFieldRadians };
        var random = new Random(3);
        var (right, asked) = (0, 0);
        while (asked < 40)
        {
            var ray = view.RayThrough(random.NextSingle(), random.NextSingle());
            var there = Picker.Candidates(moment, scene, ray);
            if (there.Count == 0 || !scene.Closest(ray.Origin, ray.Direction, 200, FixtureIndex.None, out var hit) || !hit.Mirror.IsNone)
            {
                continue;
            }

            var light = new float[rig.Fixtures.Count];
            for (var i = 0; i < moment.Beams.Length; i++)
            {
                ref readonly var beam = ref moment.Beams.Span[i];
                var index = new BeamIndex(i);
                light[beam.Fixture.Value] += BeamPhotometry.Luminance(
                        (beam.Profile.IsOmnidirectional ? lamps : haze).FromBeam(index, ray.Origin, ray.Direction, hit.Distance))
                    + (meter.FromBeam(index, hit.Point, hit.Normal) * BeamPhotometry.Luminance(moment[hit.Instance].Albedo) / MathF.PI
                        * meter.HazeOver(hit.Distance));
            }

            // What is seen of beams alone is judged here: no head, no pixels.
            var most = Array.IndexOf(light, light.Max());
            if (light[most] < .2f || moment.PixelSurfaces.Span.ToArray().Any(p => p.Fixture == there[0].Fixture)
                || !new SeenLight(moment, scene).Along(ray.Origin, ray.Direction, ray.Wide).Head.IsNone)
            {
                continue;
            }

            asked++;
            right += there[0].Fixture.Value == most || light[there[0].Fixture.Value] > .97f * light[most] ? 1 : 0;
        }

        Assert.InRange(right, 38, 40);
    }

    private static IReadOnlyList<(FixtureIndex Fixture, float Share)> Pick(Moment m, Vector3 point)
    {
        var eye = new Vector3(0, -9, 2);
        return Picker.Candidates(m, OcclusionScene.From(m), new Ray(eye, Vector3.Normalize(point - eye), .002f));
    }

    /// <summary>A spot across the air, a lamp beside its beam, and a dark head at its edge.</summary>
    private static Moment Room(float spot, float lamp)
    {
        var plate = new SceneMesh
        {
            Name = "plate",
            Positions = [new(-1, 0, -1), new(1, 0, -1), new(1, 0, 1), new(-1, 0, 1)],
            Normals = [-Vector3.UnitY, -Vector3.UnitY, -Vector3.UnitY, -Vector3.UnitY],
            Indices = [0, 1, 2, 0, 2, 3],
        };
        var b = new MomentBuilder { Meshes = [plate], SceneryNames = [], MirrorNames = [], Haze = new Haze(.05f, 1, 0) };
        b.Begin();
        var axis = Vector3.Normalize(new Vector3(1, 2, 3) - new Vector3(-4, 2, 5));
        var beam = new Beam
        {
            Fixture = s_spot, Apex = new(-4, 2, 5), Axis = axis, Up = Vector3.UnitY, FluxLumens = spot, Colour = Vector3.One, Iris = 1,
            Profile = AngularProfile.FromBeamAndField(.1f, .15f),
        };
        if (spot > 0)
        {
            b.Add(beam);
            b.Add(beam with { Fixture = s_lamp, Apex = new(1.2f, 2.3f, 3), FluxLumens = lamp, Profile = AngularProfile.Omnidirectional, StartDistance = .1f });
        }

        b.Add(new MeshInstance
        {
            Mesh = new MeshIndex(0), Pose = new(new(-3, 4, 1), Quaternion.Identity), Scale = new Vector3(.1f), Albedo = new Vector3(.1f),
            Kind = SceneryKind.FixtureBody, Fixture = s_weak, Name = NameIndex.None,
        });
        return b.Build(TimeSpan.Zero);
    }
}
