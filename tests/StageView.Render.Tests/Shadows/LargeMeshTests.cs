using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Scenery;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Shadows;

[Collection("gl")]
public sealed class LargeMeshTests(Rendering gl)
{
    private const int Side = 96;

    /// <summary>A hilly cloth over 10 by 10 m, 2 to 3 m high: rows from one on, to another.</summary>
    private static SceneMesh Hills(int from, int to)
    {
        var positions = new List<Vector3>();
        for (var j = from; j <= to; j++)
        {
            for (var i = 0; i <= Side; i++)
            {
                var (x, y) = ((10f * i / Side) - 5, (10f * j / Side) - 2);
                positions.Add(new Vector3(x, y, 2.5f + (0.5f * MathF.Sin(2 * x) * MathF.Cos(3 * y))));
            }
        }

        var indices = new List<int>();
        for (var j = 0; j < to - from; j++)
        {
            for (var i = 0; i < Side; i++)
            {
                // Every third square is a hole.
                if ((i + (2 * (j + from))) % 3 != 0)
                {
                    var a = (j * (Side + 1)) + i;
                    indices.AddRange([a, a + 1, a + Side + 2, a, a + Side + 2, a + Side + 1]);
                }
            }
        }

        return new SceneMesh { Name = "hills", Positions = [.. positions], Normals = [.. positions.Select(_ => Vector3.UnitZ)], Indices = [.. indices] };
    }

    [Fact]
    public void Runs_hold_every_triangle_once_within_their_boxes()
    {
        var mesh = Hills(0, Side);
        var indices = new List<uint> { 7, 7, 7 };
        var runs = MeshClusters.Of(mesh, MeshBounds.Of(mesh), indices);
        Assert.True(runs.Length > 5);
        var drawn = new List<(uint, uint, uint)>();
        foreach (var run in runs)
        {
            for (var i = run.FirstIndex; i < run.FirstIndex + run.IndexCount; i += 3)
            {
                drawn.Add((indices[i], indices[i + 1], indices[i + 2]));
                for (var k = 0; k < 3; k++)
                {
                    var off = Vector3.Abs(mesh.Positions[indices[i + k]] - run.Middle) - run.Half;
                    Assert.True(MathF.Max(off.X, MathF.Max(off.Y, off.Z)) < 1e-5f);
                }
            }
        }

        var all = Enumerable.Range(0, mesh.Indices.Length / 3).Select(t => ((uint)mesh.Indices[3 * t], (uint)mesh.Indices[(3 * t) + 1],
            (uint)mesh.Indices[(3 * t) + 2]));
        Assert.Equal(all.Order(), drawn.Order());
        // Together they are hardly larger than the mesh: each lies close together.
        Assert.InRange(runs.Sum(r => r.Half.X * r.Half.Y * 4), 50, 200);
        Assert.Equal(4, MeshClusters.Of(Hills(0, 8), MeshBounds.Of(Hills(0, 8)), indices).Length);
        Assert.Empty(MeshClusters.Of(Hills(0, 2), MeshBounds.Of(Hills(0, 2)), indices));
    }

    // Where no beam is, a coarse picture is the other to the byte.
    [Theory]
    [InlineData(0f, -14f)]
    [InlineData(4f, 1f)]
    [InlineData(0f, 3f)]
    public void A_coarse_picture_draws_all_runs_that_are_in_sight(float x, float y)
    {
        var b = Scenes.Builder();
        b.Meshes = [.. b.Meshes, Hills(0, Side)];
        b.Begin();
        b.AddMirror(new Vector3(-2, 5, 3), Vector3.Normalize(new Vector3(0.4f, -1, 0)), Vector3.UnitZ, 3, 4);
        b.Add(Scenes.Floor() with { Mesh = new MeshIndex(2), Scale = new Vector3(0.7f, 1.2f, 1), Pose = Pose.At(0.5f, 0, 0) });
        var moment = b.Build(TimeSpan.Zero);
        var settings = new RenderSettings { Width = 160, Height = 90, WorkLightLux = 20, Tiled = false };
        var camera = Scenes.House() with { Position = new Vector3(x, y, 3.2f), Target = new Vector3(0, y + 5, 3) };
        var all = gl.Renderer.Render(moment, camera, settings).Screen!.Rgba.ToArray();
        Assert.Equal(all, gl.Renderer.Render(moment, camera, settings with { Coarse = true }).Screen!.Rgba);
        Assert.True(all.Where((_, i) => i % 4 == 1).Distinct().Count() > 1, "the cloth is not in the picture");
    }

    [Fact]
    public void A_run_is_behind_a_plane_when_all_of_its_corners_are()
    {
        var random = new Random(3);
        Vector3 Any(float size) => new(size * (random.NextSingle() - .5f), size * (random.NextSingle() - .5f), size * (random.NextSingle() - .5f));
        var (behind, before) = (0, 0);
        for (var n = 0; n < 2000; n++)
        {
            var run = new MeshClusters.Run(0, 3, Any(20), Vector3.Abs(Any(4)));
            var plane = new Vector4(Any(2), 8 * (random.NextSingle() - .5f));
            var most = Enumerable.Range(0, 8).Max(k => Vector3.Dot(plane.AsVector3(),
                run.Middle + (run.Half * new Vector3((2 * (k & 1)) - 1, (k & 2) - 1, ((k & 4) / 2) - 1))) + plane.W);
            if (MathF.Abs(most) > 1e-2f)
            {
                Assert.Equal(most < 0, MeshClusters.IsBehind(plane, run));
                (behind, before) = most < 0 ? (behind + 1, before) : (behind, before + 1);
            }
        }

        Assert.True(behind > 200 && before > 200);
    }

    /// <summary>Direct beams, one across the cloth's edge, one by way of a mirror: the same as of pieces so small that each is drawn whole.</summary>
    [Fact]
    public void A_large_mesh_throws_the_shadow_that_its_pieces_throw()
    {
        PixelImage Of(params SceneMesh[] meshes)
        {
            var b = Scenes.Builder();
            b.Meshes = [.. b.Meshes, .. meshes];
            b.Begin();
            b.Haze = new Haze(0.02f, 1, 0.6f);
            b.Add(Scenes.Floor());
            for (var i = 0; i < meshes.Length; i++)
            {
                b.Add(Scenes.Floor() with { Mesh = new MeshIndex(2 + i), Scale = Vector3.One });
            }

            b.AddMirror(new Vector3(0, 9, 5), Vector3.Normalize(new Vector3(0, -1, -0.3f)), Vector3.UnitZ, 6, 3);
            b.Add(Scenes.Spot(new Vector3(0, 0, 7), new Vector3(1, 2, 0), 30000, 20, 24));
            b.Add(Scenes.Spot(new Vector3(-5, 0, 6), new Vector3(-5, 3, 0), 30000, 24, 28, new Vector3(1, 0.4f, 0.2f)));
            b.Add(Scenes.Spot(new Vector3(2, -2, 5), new Vector3(0, 9, 5), 30000, 14, 18, new Vector3(0.2f, 1, 0.4f)));
            var camera = Scenes.House() with { Position = new Vector3(0, -9, 6), Target = new Vector3(0, 3, 2) };
            return gl.Renderer.Render(b.Build(TimeSpan.Zero), camera, new RenderSettings { Width = 320, Height = 180 }).Screen!;
        }

        var whole = Of(Hills(0, Side));
        var pieces = Of([.. Enumerable.Range(0, Side / 8).Select(i => Hills(8 * i, (8 * i) + 8))]);
        PngPicture.Write(Path.Combine(Repo.Out("shadow"), "hills.png"), whole);
        var far = 0;
        for (var i = 0; i < whole.Rgba.Length; i++)
        {
            far += Math.Abs(whole.Rgba[i] - pieces.Rgba[i]) > 2 ? 1 : 0;
        }

        Assert.InRange(whole.Rgba.Where((_, i) => i % 4 != 3).Average(p => p), 20, 200);
        Assert.True(far < whole.Rgba.Length / 1000, $"{far} of {whole.Rgba.Length} differ");
    }
}
