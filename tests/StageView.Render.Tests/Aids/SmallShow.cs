using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Light.Unfolding;
using StageView.Render.Aids;
using StageView.Render.Output;

namespace StageView.Render.Tests.Aids;

/// <summary>A made-up rig for the reading aids: heads on two trusses over a floor, a mirror behind, painted by plain arithmetic.</summary>
internal sealed class SmallShow
{
    public SmallShow(int heads = 24, int width = 1280, int height = 720)
    {
        var builder = new MomentBuilder { Haze = new Haze(0.02f, 1, 0.6f), MirrorNames = ["rear"] };
        builder.Begin();
        var fixtures = new List<AidFixture>();
        for (var i = 0; i < heads; i++)
        {
            var rear = i >= heads / 2;
            var across = ((i % (heads / 2)) + 0.5f) / (heads / 2);
            var point = new Vector3((across - 0.5f) * 14, rear ? 5 : 1, 7);
            var target = rear && i % 3 == 0 ? new Vector3(point.X * 0.7f, 10, 2.5f) : new Vector3(point.X * 0.6f, rear ? 4 : 2, 0);
            var axis = Vector3.Normalize(target - point);
            fixtures.Add(new AidFixture($"Spot {i + 1}", point, i % 7 == 6 ? [4 + (i / 7), 5 + (i / 7)] : i == 3 ? [] : [1 + (i / 4)]));
            builder.Add(new Beam
            {
                Fixture = new FixtureIndex(i),
                Apex = point,
                Axis = axis,
                Up = Vector3.Normalize(Vector3.Cross(axis, Vector3.UnitX)),
                FluxLumens = i == 5 ? 0 : 6000,
                Colour = Colour(i),
                Profile = AngularProfile.FromBeamAndField(12 * Angles.RadiansPerDegree, 20 * Angles.RadiansPerDegree),
                StartDistance = 0.1f,
                ApertureRadius = 0.05f,
            });
        }

        builder.AddMirror(
            new Mirror { Normal = -Vector3.UnitY, Reflectance = 0.9f, SheetIndex = 1 },
            [new(-6, 10, 0.5f), new(6, 10, 0.5f), new(6, 10, 5), new(-6, 10, 5)]);
        builder.Meshes = [Floor];
        builder.SceneryNames = ["floor"];
        builder.Add(new MeshInstance { Pose = Pose.Identity, Scale = Vector3.One, Albedo = new(0.2f), Fixture = FixtureIndex.None });
        Moment = builder.Build(TimeSpan.FromSeconds(12));
        Camera = new Camera { Name = "front", Position = new(2, -14, 5), Target = new(0, 4, 2.6f), Ev100 = 7 };
        Fixtures = fixtures;

        var scene = OcclusionScene.From(Moment);
        var meter = new LightMeter(Moment, scene);
        var landings = new List<Landing>();
        for (var i = 0; i < Moment.Beams.Length; i++)
        {
            if (StageView.Light.Measure.Landings.TryFind(meter, scene, new BeamIndex(i), out var landing))
            {
                landings.Add(landing);
            }
        }

        Landings = landings;
        Linear = new LinearImage(width, height);
        Lux = new LuxImage(width, height, new float[width * height]);
        Array.Fill(Lux.Lux, -1);
        var view = Matrix4x4.CreateLookAt(Camera.Position, Camera.Target, Camera.Up);
        Matrix4x4.Invert(view, out var back);
        var tangent = MathF.Tan(Camera.VerticalFieldRadians / 2);
        Parallel.For(0, height, y =>
        {
            for (var x = 0; x < width; x++)
            {
                var d = Vector3.TransformNormal(
                    new(((x + 0.5f) - (width / 2f)) / (height / 2f) * tangent, ((height / 2f) - (y + 0.5f)) / (height / 2f) * tangent, -1), back);
                var t = -Camera.Position.Z / d.Z;
                var p = Camera.Position + (d * t);
                if (t > 0 && MathF.Abs(p.X) < 10 && p.Y is > -4 and < 10)
                {
                    var e = meter.At(p, Vector3.UnitZ);
                    Lux.Lux[(y * width) + x] = e.Lux;
                    Linear[x, y] = e.Rgb * (0.2f / MathF.PI);
                }
                else
                {
                    Linear[x, y] = new Vector3(0.1f, 0.1f, 0.12f);
                }
            }
        });
        Frame = Linear.Develop(new ToneCurve(Camera.Ev100));
    }

    public Moment Moment { get; }

    public Camera Camera { get; }

    public IReadOnlyList<AidFixture> Fixtures { get; }

    public IReadOnlyList<Landing> Landings { get; }

    public LinearImage Linear { get; }

    public LuxImage Lux { get; }

    public PixelImage Frame { get; }

    public AidInput Input => new() { Moment = Moment, Camera = Camera, Fixtures = Fixtures, Landings = Landings, Linear = Linear, Lux = Lux };

    private static SceneMesh Floor { get; } = new()
    {
        Name = "floor",
        Positions = [new(-10, -4, 0), new(10, -4, 0), new(10, 10, 0), new(-10, 10, 0)],
        Normals = [Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ],
        Indices = [0, 1, 2, 0, 2, 3],
    };

    private static Vector3 Colour(int i)
    {
        var c = (i % 4) switch { 0 => new Vector3(1, 0.3f, 0.02f), 1 => new(0.02f, 0.08f, 1), 2 => new(1, 1, 1), _ => new(0.4f, 0.02f, 1) };
        return c / LinearImage.Luminance(c);
    }
}
