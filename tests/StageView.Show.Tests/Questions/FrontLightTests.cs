using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Rig.Source;
using StageView.Show.Rigs;
using StageView.Stage;
using StageView.Stage.Looks;

namespace StageView.Show.Tests.Questions;

/// <summary>One rig file, one moment, two readings: the demo's front light on the stage floor by hand, by the meter and in the picture.</summary>
[Collection("network ports")]
public sealed class FrontLightTests
{
    [Fact]
    public void By_hand_by_the_meter_and_in_the_picture()
    {
        var rig = RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc")) with { Haze = Haze.None };
        var stage = new StageModel(rig);
        var problems = new List<RigProblem>();
        var look = LookFile.Read(rig, """{ "set": [ { "fixtures": "1", "dimmer": 1, "zoom": 20, "Frost1": 0 } ] }""", problems);
        Assert.Empty(problems);
        look.SendTo(stage, TimeSpan.Zero);
        var moment = stage.MomentAt(TimeSpan.FromSeconds(5), bounces: 0);
        var fixture = rig.Fixtures.Single(f => f.Number == "1");
        var beam = moment.Beams.Span.ToArray().Single(b => b.Fixture == fixture.Index);

        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        Assert.True(scene.Closest(beam.Apex, beam.Axis, 100, fixture.Index, out var hit));
        var floor = beam.Apex + (beam.Axis * hit.Distance);
        Assert.True(hit.Normal.Z > 0.99f, "the front light's axis does not end on a level floor");

        // Inverse square and cosine (Lambert): E = I cos θ / d², I = flux × cd/lm on the axis.
        double dx = floor.X - beam.Apex.X, dy = floor.Y - beam.Apex.Y, dz = floor.Z - beam.Apex.Z;
        var d2 = (dx * dx) + (dy * dy) + (dz * dz);
        var byHand = beam.FluxLumens * (double)beam.Profile.CandelaPerLumen * (-dz / Math.Sqrt(d2)) / d2;
        Assert.True(byHand > 50, $"only {byHand} lx: the look did not light the fixture");
        var index = Array.FindIndex(moment.Beams.Span.ToArray(), b => b.Fixture == fixture.Index);
        var measured = meter.FromBeam(new BeamIndex(index), floor, Vector3.UnitZ);
        Assert.Equal(1, measured / byHand, 1e-3);

        // The picture: radiance of a Lambertian floor is E × albedo / π, with every other source dark.
        GlContext? context = null;
        try
        {
            context = Offscreen.Open();
        }
        catch (MachineCannotException e)
        {
            Assert.Skip(e.Message);
        }

        using (context)
        using (var renderer = new FrameRenderer(context!))
        {
            var camera = new Camera
            {
                Name = "over it", Position = floor + new Vector3(0.4f, -1.2f, 1.2f), Target = floor, VerticalFieldRadians = Angles.Radians(20),
            };
            var image = renderer.Render(moment, camera, new RenderSettings { Width = 101, Height = 101, Linear = true, Screen = false }).Linear!;
            var at = 3 * ((50 * 101) + 50);
            var luminance = (0.2126 * image.Rgb[at]) + (0.7152 * image.Rgb[at + 1]) + (0.0722 * image.Rgb[at + 2]);
            var piece = moment[hit.Instance];
            var all = meter.At(floor, Vector3.UnitZ).Rgb * piece.Albedo / MathF.PI;
            var expected = (0.2126 * all.X) + (0.7152 * all.Y) + (0.0722 * all.Z);
            Assert.Equal(1, luminance / expected, 0.02);
        }
    }
}
