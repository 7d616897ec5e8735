using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests;

/// <summary>Small moments for tests.</summary>
internal static class Rooms
{
    public static SceneMesh Quad { get; } = new()
    {
        Name = "quad",
        Positions = [new(-1, -1, 0), new(1, -1, 0), new(1, 1, 0), new(-1, 1, 0)],
        Normals = [Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ],
        Indices = [0, 1, 2, 0, 2, 3],
    };

    public static MomentBuilder Builder() => new() { Meshes = [Quad], SceneryNames = ["floor"], MirrorNames = ["m"] };

    public static MeshInstance Plate(Vector3 centre, float half, Vector3? rotateDegrees = null) => new()
    {
        Mesh = new MeshIndex(0),
        Pose = Pose.FromDegrees(centre, rotateDegrees ?? Vector3.Zero),
        Scale = new Vector3(half, half, 1),
        Albedo = new Vector3(0.5f),
        Kind = SceneryKind.Scenery,
        Name = new NameIndex(0),
        Fixture = FixtureIndex.None,
    };

    public static Beam Spot(Vector3 from, Vector3 to, float lumens = 10000, float beamDegrees = 10, float fieldDegrees = 18)
    {
        var axis = Vector3.Normalize(to - from);
        var side = MathF.Abs(axis.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ;
        return new Beam
        {
            Apex = from,
            Axis = axis,
            Up = Vector3.Normalize(side - (axis * Vector3.Dot(side, axis))),
            FluxLumens = lumens,
            Colour = Vector3.One,
            Profile = AngularProfile.FromBeamAndField(Angles.Radians(beamDegrees), Angles.Radians(fieldDegrees)),
            Iris = 1,
            Fixture = new FixtureIndex(0),
        };
    }

    public static Beam Lamp(Vector3 at, float lumens = 10000) => Spot(at, at - Vector3.UnitZ, lumens) with { Profile = AngularProfile.Omnidirectional };

    /// <summary>A rectangular mirror: centre, unit normal, unit up, size.</summary>
    public static void AddMirror(this MomentBuilder b, Vector3 centre, Vector3 normal, Vector3 up, float width, float height, float reflectance = 0.9f,
        float sheet = 0, float index = 1)
    {
        var right = Vector3.Cross(up, normal);
        var (w, h) = (right * (width / 2), up * (height / 2));
        b.AddMirror(
            new Mirror { Normal = normal, Reflectance = reflectance, SheetThickness = sheet, SheetIndex = index },
            [centre - w - h, centre + w - h, centre + w + h, centre - w + h]);
    }

    /// <summary>A closed room of six plates that face inwards, half-side <paramref name="half"/>, its floor at z = 0.</summary>
    public static void AddBox(this MomentBuilder b, float half)
    {
        b.Add(Plate(Vector3.Zero, half));
        b.Add(Plate(new Vector3(0, 0, 2 * half), half, new Vector3(180, 0, 0)));
        b.Add(Plate(new Vector3(0, half, half), half, new Vector3(90, 0, 0)));
        b.Add(Plate(new Vector3(0, -half, half), half, new Vector3(-90, 0, 0)));
        b.Add(Plate(new Vector3(half, 0, half), half, new Vector3(0, -90, 0)));
        b.Add(Plate(new Vector3(-half, 0, half), half, new Vector3(0, 90, 0)));
    }

    /// <summary>A cube of 1 m; its faces look outwards for 1, inwards for -1.</summary>
    public static SceneMesh Box(string name, int way)
    {
        var (positions, normals, indices) = (new List<Vector3>(), new List<Vector3>(), new List<int>());
        for (var f = 0; f < 6; f++)
        {
            var n = new Vector3(f / 2 == 0 ? 1 : 0, f / 2 == 1 ? 1 : 0, f / 2 == 2 ? 1 : 0) * (f % 2 == 0 ? 1 : -1);
            var u = f / 2 == 0 ? Vector3.UnitY : Vector3.UnitX;
            var v = Vector3.Cross(n, u);
            var first = positions.Count;
            positions.AddRange([(n - u - v) / 2, (n + u - v) / 2, (n + u + v) / 2, (n - u + v) / 2]);
            normals.AddRange(Enumerable.Repeat(n * way, 4));
            indices.AddRange(way > 0 ? [first, first + 1, first + 2, first, first + 2, first + 3] : [first, first + 2, first + 1, first, first + 3, first + 2]);
        }

        return new SceneMesh { Name = name, Positions = [.. positions], Normals = [.. normals], Indices = [.. indices] };
    }

    public static LightMeter Meter(Moment m, MeterSettings? settings = null) => new(m, OcclusionScene.From(m), settings);

    public static void Near(double expected, double actual, double relative) =>
        Assert.True(Math.Abs(expected - actual) <= relative * Math.Abs(expected),
            $"expected {expected} within {relative:P3}, got {actual} ({(actual / expected) - 1:P4})");
}
