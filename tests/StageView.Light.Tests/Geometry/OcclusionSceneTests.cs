using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Geometry;

public sealed class OcclusionSceneTests
{
    private static SceneMesh Soup(Random r, int triangles, float size)
    {
        var p = new Vector3[triangles * 3];
        for (var i = 0; i < triangles; i++)
        {
            var c = new Vector3(Unit(r), Unit(r), Unit(r)) * 5;
            for (var k = 0; k < 3; k++)
            {
                p[(3 * i) + k] = c + (new Vector3(Unit(r), Unit(r), Unit(r)) * size);
            }
        }

        return new SceneMesh { Name = "soup", Positions = p, Normals = new Vector3[p.Length], Indices = [.. Enumerable.Range(0, p.Length)] };
    }

    private static float Unit(Random r) => ((float)r.NextDouble() * 2) - 1;

    // Against every triangle in turn, in doubles, on seeded soups hung with pose and scale.
    [Fact]
    public void Trees_answer_as_trying_every_triangle_does()
    {
        var r = new Random(5);
        var mesh = Soup(r, 700, 0.5f);
        var b = new MomentBuilder { Meshes = [mesh] };
        var instances = new List<MeshInstance>();
        for (var i = 0; i < 5; i++)
        {
            var instance = new MeshInstance
            {
                Mesh = new MeshIndex(0),
                Pose = Pose.FromDegrees(new Vector3(Unit(r), Unit(r), Unit(r)) * 6, new Vector3(Unit(r), Unit(r), Unit(r)) * 180),
                Scale = new Vector3(1 + (0.5f * Unit(r)), 1, 1 + (0.5f * Unit(r))),
                Fixture = FixtureIndex.None,
            };
            instances.Add(instance);
            b.Add(instance);
        }

        var scene = OcclusionScene.From(b.Build(TimeSpan.Zero));
        int hits = 0, misses = 0;
        for (var k = 0; k < 400; k++)
        {
            var o = new Vector3(Unit(r), Unit(r), Unit(r)) * 12;
            var d = Vector3.Normalize(new Vector3(Unit(r), Unit(r), Unit(r)));
            var expected = double.MaxValue;
            foreach (var instance in instances)
            {
                for (var i = 0; i < mesh.Indices.Length; i += 3)
                {
                    var (p0, p1, p2) = (World(instance, mesh.Positions[i]), World(instance, mesh.Positions[i + 1]), World(instance, mesh.Positions[i + 2]));
                    expected = Math.Min(expected, Naive(o, d, p0, p1, p2));
                }
            }

            var found = scene.Closest(o, d, 100, FixtureIndex.None, out var hit);
            if (expected < 99)
            {
                hits++;
                Assert.True(found);
                Assert.Equal(expected, hit.Distance, 1e-3);
                Assert.True(Vector3.Dot(hit.Normal, d) <= 0);
                Assert.True(scene.Blocked(o, o + (d * ((float)expected + 0.01f)), FixtureIndex.None));
                Assert.False(scene.Blocked(o, o + (d * ((float)expected - 0.01f)), FixtureIndex.None));
            }
            else
            {
                misses++;
                Assert.False(found);
            }
        }

        Assert.True(hits > 50 && misses > 50, $"{hits} hits, {misses} misses");
    }

    [Fact]
    public void A_fixtures_own_body_and_a_named_fixtures_pieces_do_not_block()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Plate(Vector3.Zero, 1) with { Kind = SceneryKind.FixtureBody });
        b.Add(Rooms.Plate(new Vector3(0, 0, 1), 1) with { Fixture = new FixtureIndex(4) });
        var scene = OcclusionScene.From(b.Build(TimeSpan.Zero));
        Assert.True(scene.Blocked(new Vector3(0, 0, 3), new Vector3(0, 0, -3), FixtureIndex.None));
        Assert.False(scene.Blocked(new Vector3(0, 0, 3), new Vector3(0, 0, -3), new FixtureIndex(4)));
    }

    [Fact]
    public void Rays_along_the_axes_of_flat_boxes_are_not_lost()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Plate(Vector3.Zero, 1));
        var scene = OcclusionScene.From(b.Build(TimeSpan.Zero));
        for (var x = -0.95f; x < 1; x += 0.1f)
        {
            Assert.True(scene.Blocked(new Vector3(x, x, 2), new Vector3(x, x, -2), FixtureIndex.None));
        }
    }

    [Fact]
    public void An_empty_scene_blocks_nothing() =>
        Assert.False(OcclusionScene.From(new MomentBuilder().Build(TimeSpan.Zero)).Blocked(Vector3.Zero, Vector3.One, FixtureIndex.None));

    private static Vector3 World(in MeshInstance i, Vector3 p) => i.Pose.TransformPoint(p * i.Scale);

    private static double Naive(Vector3 o, Vector3 d, Vector3 a, Vector3 b, Vector3 c)
    {
        var n = Vector3.Cross(b - a, c - a);
        double denominator = Vector3.Dot(n, d);
        var t = Vector3.Dot(n, a - o) / denominator;
        var p = o + (d * (float)t);
        return t > 0
            && Vector3.Dot(Vector3.Cross(b - a, p - a), n) >= 0
            && Vector3.Dot(Vector3.Cross(c - b, p - b), n) >= 0
            && Vector3.Dot(Vector3.Cross(a - c, p - c), n) >= 0
            ? t
            : double.MaxValue;
    }
}
