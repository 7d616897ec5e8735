using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Unfolding;

namespace StageView.Benchmarks.Light;

/// <summary>The stated case: 120 beams, a scene of about 10,000 triangles, 100,000 points on a floor.</summary>
internal static class GridCase
{
    public const int Beams = 120;

    public static MeasuringGrid Grid { get; } = new(new(-8, -6, 0), new(16, 0, 0), new(0, 12, 0), 400, 250, Vector3.UnitZ);

    /// <summary>A floor, 30 crates, 8 pipes at hanging height and 20 spheres at human height, as one mesh.</summary>
    public static SceneMesh Mesh()
    {
        var r = new Random(1);
        var p = new List<Vector3>();
        var index = new List<int>();
        void Patch(int nu, int nv, Func<float, float, Vector3> at)
        {
            var first = p.Count;
            for (var v = 0; v <= nv; v++)
            {
                for (var u = 0; u <= nu; u++)
                {
                    p.Add(at((float)u / nu, (float)v / nv));
                }
            }

            for (var v = 0; v < nv; v++)
            {
                for (var u = 0; u < nu; u++)
                {
                    var a = first + (v * (nu + 1)) + u;
                    index.AddRange([a, a + 1, a + nu + 2, a, a + nu + 2, a + nu + 1]);
                }
            }
        }

        Patch(20, 20, (u, v) => new((u * 40) - 20, (v * 40) - 20, -0.01f));
        for (var i = 0; i < 30; i++)
        {
            var (x, y, s) = (((float)r.NextDouble() * 14) - 7, ((float)r.NextDouble() * 10) - 5, 0.3f + (0.5f * (float)r.NextDouble()));
            for (var side = 0; side < 4; side++)
            {
                var (sin, cos) = MathF.SinCos(side * MathF.PI / 2);
                Patch(2, 2, (u, v) => new(x + (s * ((cos * (u - 0.5f)) - (sin * 0.5f))), y + (s * ((sin * (u - 0.5f)) + (cos * 0.5f))), s * v));
            }

            Patch(2, 2, (u, v) => new(x + (s * (u - 0.5f)), y + (s * (v - 0.5f)), s));
        }

        for (var i = 0; i < 8; i++)
        {
            var y = -5f + (i * 1.4f);
            Patch(40, 8, (u, v) => new((u * 16) - 8, y + (0.05f * MathF.Cos(v * MathF.Tau)), 6.5f + (0.05f * MathF.Sin(v * MathF.Tau))));
        }

        for (var i = 0; i < 20; i++)
        {
            var (x, y) = (((float)r.NextDouble() * 12) - 6, ((float)r.NextDouble() * 8) - 4);
            Patch(10, 6, (u, v) => new(
                x + (0.3f * MathF.Sin(v * MathF.PI) * MathF.Cos(u * MathF.Tau)), y + (0.3f * MathF.Sin(v * MathF.PI) * MathF.Sin(u * MathF.Tau)),
                1.3f + (0.4f * MathF.Cos(v * MathF.PI))));
        }

        return new SceneMesh { Name = "hall", Positions = [.. p], Normals = new Vector3[p.Count], Indices = [.. index] };
    }

    public static Moment Moment(SceneMesh mesh)
    {
        var r = new Random(2);
        var b = new MomentBuilder { Meshes = [mesh], SceneryNames = ["hall"] };
        for (var i = 0; i < Beams; i++)
        {
            var from = new Vector3(((i % 20) - 9.5f) * 0.8f, ((i / 20) - 2.5f) * 1.9f, 8);
            var to = new Vector3(((float)r.NextDouble() * 12) - 6, ((float)r.NextDouble() * 8) - 4, 0);
            var axis = Vector3.Normalize(to - from);
            b.Add(new Beam
            {
                Apex = from,
                Axis = axis,
                Up = Vector3.Normalize(Vector3.Cross(axis, Vector3.Cross(Vector3.UnitX, axis))),
                FluxLumens = 12000,
                Colour = Vector3.One,
                Profile = AngularProfile.FromBeamAndField(20 * Angles.RadiansPerDegree, 32 * Angles.RadiansPerDegree),
                StartDistance = 0.1f,
                Iris = 1,
                Fixture = new FixtureIndex(i),
            });
        }

        b.Add(new MeshInstance { Mesh = new MeshIndex(0), Pose = Pose.Identity, Scale = Vector3.One, Kind = SceneryKind.Scenery, Fixture = FixtureIndex.None });
        return b.Build(TimeSpan.Zero);
    }

    /// <summary>The shadow rays of the case: from each lit point to each lens, points in grid order for one beam after another.</summary>
    public static Embree.Ray[] Rays(Moment moment)
    {
        var rays = new List<Embree.Ray>();
        foreach (var beam in moment.Beams.Span)
        {
            for (var i = 0; i < Grid.Count; i++)
            {
                var point = Grid.Point(i % Grid.CountU, i / Grid.CountU) + new Vector3(0, 0, LightMeter.Lift);
                var direction = Vector3.Normalize(point - beam.Apex);
                if (BeamPhotometry.Relative(moment, beam, direction) > 0)
                {
                    var lens = beam.Apex + (direction * BeamPhotometry.StartAlong(beam, direction));
                    rays.Add(new Embree.Ray { Origin = lens, Direction = point - lens, Near = 1e-5f, Far = 1 - 1e-5f, Mask = uint.MaxValue });
                }
            }
        }

        return [.. rays];
    }
}
