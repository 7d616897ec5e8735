using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Unfolding;

namespace StageView.Render.Tests;

/// <summary>Moments built by hand.</summary>
internal static class Scenes
{
    public static SceneMesh Plate { get; } = new()
    {
        Name = "plate",
        Positions = [new(-1, -1, 0), new(1, -1, 0), new(1, 1, 0), new(-1, 1, 0)],
        Normals = [Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ],
        Indices = [0, 1, 2, 0, 2, 3],
    };

    /// <summary>A cube of 2 m about its centre.</summary>
    public static SceneMesh Cube { get; } = MakeCube();

    public static readonly Haze Air = new(0.02f, 0.95f, 0.65f);

    public static MomentBuilder Builder() => new() { Meshes = [Plate, Cube], SceneryNames = ["set"], MirrorNames = ["mirror"] };

    public static MeshInstance Floor(float half = 20, float albedo = 0.3f) => new()
    {
        Mesh = new MeshIndex(0),
        Pose = Pose.At(0, 0, 0),
        Scale = new Vector3(half, half, 1),
        Albedo = new Vector3(albedo),
        Fixture = FixtureIndex.None,
    };

    public static MeshInstance Box(Vector3 centre, Vector3 size, float albedo = 0.4f, SceneryKind kind = SceneryKind.Scenery) => new()
    {
        Mesh = new MeshIndex(1),
        Pose = Pose.At(centre.X, centre.Y, centre.Z),
        Scale = size / 2,
        Albedo = new Vector3(albedo),
        Fixture = FixtureIndex.None,
        Kind = kind,
    };

    public static Beam Spot(Vector3 from, Vector3 to, float lumens = 10000, float beamDegrees = 10, float fieldDegrees = 18, Vector3? colour = null)
    {
        var axis = Vector3.Normalize(to - from);
        var side = MathF.Abs(axis.Z) > 0.95f ? Vector3.UnitY : Vector3.UnitZ;
        var c = colour ?? Vector3.One;
        return new Beam
        {
            Apex = from,
            Axis = axis,
            Up = Vector3.Normalize(side - (axis * Vector3.Dot(side, axis))),
            FluxLumens = lumens,
            Colour = c / BeamPhotometry.Luminance(c),
            Profile = AngularProfile.FromBeamAndField(Angles.Radians(beamDegrees), Angles.Radians(fieldDegrees)),
            Iris = 1,
            StartDistance = 0.3f,
            ApertureRadius = 0.06f,
            Fixture = new FixtureIndex(0),
        };
    }

    /// <summary>The same beam out of a lens in the middle of which its apex lies.</summary>
    public static Beam WithLens(Beam beam, float radius) => beam with
    {
        StartDistance = 0,
        ApertureRadius = radius,
        NearLength = NearField.Length(radius, beam.Profile),
        NearSharpness = NearField.Sharpness(beam.Profile),
    };

    public static void AddMirror(this MomentBuilder b, Vector3 centre, Vector3 normal, Vector3 up, float width, float height, float reflectance = 0.9f,
        float sheet = 0, float index = 1)
    {
        var right = Vector3.Cross(up, normal);
        var (w, h) = (right * (width / 2), up * (height / 2));
        b.AddMirror(
            new Mirror { Normal = normal, Reflectance = reflectance, SheetThickness = sheet, SheetIndex = index },
            [centre - w - h, centre + w - h, centre + w + h, centre - w + h]);
    }

    /// <summary>A house view: 14 m out, eye height 1.7 m.</summary>
    public static Camera House(float ev = 6) => new()
    {
        Name = "house",
        Position = new Vector3(0, -14, 2.5f),
        Target = new Vector3(0, 4, 3.5f),
        Ev100 = ev,
        VerticalFieldRadians = Angles.Radians(45),
    };

    /// <summary>A stage with a floor and <paramref name="beams"/> narrow beams from three trusses, spread by a fixed pattern.</summary>
    public static Moment Stage(int beams, bool mirrors = false, float beamDegrees = 4, float fieldDegrees = 6)
    {
        var b = Builder();
        b.Begin();
        b.Haze = Air;
        b.Add(Floor());
        if (mirrors)
        {
            b.AddMirror(new Vector3(-5, 9, 4), Vector3.Normalize(new Vector3(0.35f, -1, 0)), Vector3.UnitZ, 7, 6);
            b.AddMirror(new Vector3(5, 9, 4), Vector3.Normalize(new Vector3(-0.35f, -1, 0)), Vector3.UnitZ, 7, 6);
        }

        for (var i = 0; i < beams; i++)
        {
            var (row, k) = (i % 3, i / 3);
            var x = -9 + (18f * k / MathF.Max(1, (beams / 3f) - 1));
            var from = new Vector3(x, 1 + (row * 3), 7.5f + (row * 0.4f));
            var to = new Vector3(x * 0.6f + (4 * MathF.Sin(i * 2.4f)), 1 + (8 * ((i * 7 % 13) / 13f)), mirrors && i % 2 == 0 ? 3.5f : 0);
            if (mirrors && i % 2 == 0)
            {
                to.Y = 9;
                from.Y = -2;
            }

            var hue = i * 0.37f;
            var colour = new Vector3(0.55f + (0.45f * MathF.Cos(hue)), 0.55f + (0.45f * MathF.Cos(hue + 2.1f)), 0.55f + (0.45f * MathF.Cos(hue + 4.2f)));
            b.Add(Spot(from, to, 8000, beamDegrees, fieldDegrees, colour));
        }

        return b.Build(TimeSpan.Zero);
    }

    /// <summary>
    /// A large rig: <see cref="Stage"/> with two mirror walls, five people and four set pieces that stand in beams, and a wall of <paramref name="pixels"/>
    /// pixels.
    /// </summary>
    /// <param name="beams">Of fixtures; the mirrors add more.</param>
    /// <param name="pixels">About as many.</param>
    /// <param name="turn">All beams turned about Z, rad.</param>
    /// <param name="model">A list that begins with the meshes of <see cref="Builder"/> and ends with one more, which stands on the stage; null for
    /// none.</param>
    public static Moment Large(int beams, int pixels, float turn = 0, IReadOnlyList<SceneMesh>? model = null)
    {
        var stage = Stage(beams, mirrors: true);
        var b = Builder();
        b.Meshes = model ?? b.Meshes;
        b.Begin();
        if (model is not null)
        {
            b.Add(Floor() with { Mesh = new MeshIndex(model.Count - 1), Scale = Vector3.One });
        }

        b.Haze = Air;
        b.Add(Floor());
        for (var i = 0; i < 5; i++)
        {
            b.Add(Box(new Vector3(-5 + (2.5f * i), 2 + (i % 2), 0.9f), new Vector3(0.5f, 0.35f, 1.8f), 0.5f, SceneryKind.Person));
        }

        for (var i = 0; i < 4; i++)
        {
            b.Add(Box(new Vector3(-6 + (4 * i), 6, 0.75f), new Vector3(1.5f, 1, 1.5f)));
        }

        foreach (ref readonly var mirror in stage.Mirrors.Span)
        {
            b.AddMirror(mirror, stage.OutlineOf(mirror.Outline));
        }

        foreach (ref readonly var beam in stage.Beams.Span)
        {
            if (beam.Bounces == 0)
            {
                var about = Quaternion.CreateFromAxisAngle(Vector3.UnitZ, turn);
                b.Add(turn == 0 ? beam : beam with { Axis = Vector3.Transform(beam.Axis, about), Up = Vector3.Transform(beam.Up, about) });
            }
        }

        var columns = pixels / 9 / 64;
        for (var f = 0; pixels > 0 && f < 9; f++)
        {
            var facet = b.AddSurface(new PixelSurface
            {
                Origin = new Vector3(-7.2f + (1.6f * f), 9.4f, 7), EdgeU = new Vector3(1.55f, 0, 0), EdgeV = new Vector3(0, 0, -2), Columns = columns,
                Rows = 64, Fill = 0.6f, Fixture = new FixtureIndex(9),
            });
            for (var i = 0; i < facet.Length; i++)
            {
                facet[i] = new Vector3(0.5f + (0.5f * MathF.Sin(i * 0.05f)), 0.3f, 0.5f + (0.5f * MathF.Cos(i * 0.013f))) * 200;
            }
        }

        return b.Build(TimeSpan.Zero);
    }

    private static SceneMesh MakeCube()
    {
        var positions = new List<Vector3>();
        var normals = new List<Vector3>();
        var indices = new List<int>();
        for (var side = 0; side < 6; side++)
        {
            var n = Vector3.Zero;
            n[side / 2] = (side & 1) == 0 ? -1 : 1;
            var u = Vector3.Zero;
            u[((side / 2) + 1) % 3] = 1;
            var v = Vector3.Cross(n, u);
            var first = positions.Count;
            positions.AddRange([n - u - v, n + u - v, n + u + v, n - u + v]);
            normals.AddRange([n, n, n, n]);
            indices.AddRange([first, first + 1, first + 2, first, first + 2, first + 3]);
        }

        return new SceneMesh { Name = "cube", Positions = [.. positions], Normals = [.. normals], Indices = [.. indices] };
    }
}
