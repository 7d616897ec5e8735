using System.Numerics;
using StageView.Render.Beams;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Tests.Beams;

/// <summary>The outline of what a camera sees of a hull, beside half-planes asked by hand.</summary>
public sealed class OutlineTrianglesTests
{
    private static readonly View s_view = View.Of(Scenes.House(), 640, 360);

    private static Vector3[] Frustum(Random random)
    {
        Vector3 Any(float size) => size * new Vector3(random.NextSingle() - 0.5f, random.NextSingle() - 0.5f, random.NextSingle() - 0.5f);
        var (from, to) = (new Vector3(0, 4, 5) + Any(8), new Vector3(0, 5, 2) + Any(9));
        var axis = Vector3.Normalize(to - from);
        var side = Vector3.Normalize(Vector3.Cross(axis, Vector3.Normalize(Any(1))));
        var up = Vector3.Cross(axis, side);
        return [.. Enumerable.Range(0, 10).SelectMany(i =>
        {
            var (sin, cos) = MathF.SinCos(2 * MathF.PI * i / 10);
            var off = (side * sin) + (up * cos);
            return (Vector3[])[from + (0.1f * off), to + (0.8f * off)];
        })];
    }

    private static float Turn(Vector2 a, Vector2 b, Vector2 c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));

    [Fact]
    public void It_covers_the_hull_once_with_few_triangles_that_face_the_eye()
    {
        var (random, outline) = (new Random(5), new OutlineTriangles());
        for (var run = 0; run < 200; run++)
        {
            var corners = Frustum(random);
            var list = new Growing<uint>();
            Assert.True(outline.TryAdd(list, 100, corners, s_view));
            var at = corners.Select(c => s_view.Project(c).Pixel).ToArray();
            var triangles = list.Span.ToArray().Chunk(3).Select(t => t.Select(i => at[i - 100]).ToArray()).ToList();
            Assert.InRange(triangles.Count, 2, 18);
            Assert.All(triangles, t => Assert.True(Turn(t[0], t[1], t[2]) > 0, "a triangle turns away"));

            // The area of the convex hull: every direction's farthest corner, taken finely.
            var area = triangles.Sum(t => Turn(t[0], t[1], t[2]) / 2);
            var reach = Enumerable.Range(0, 720).Select(k => MathF.SinCos(2 * MathF.PI * k / 720)).Select(d => at.MaxBy(p => (p.X * d.Cos) + (p.Y * d.Sin)));
            var ring = reach.ToArray();
            var whole = Enumerable.Range(0, 720).Sum(k => ((ring[k].X * ring[(k + 1) % 720].Y) - (ring[k].Y * ring[(k + 1) % 720].X)) / 2);
            Assert.InRange(area, (0.97f * whole) - 20, (1.001f * whole) + 1);

            // Any corner lies within the triangles, but for what can't be seen.
            Assert.All(at, p => Assert.True(triangles.Any(t => Enumerable.Range(0, 3).All(e => Away(t[e], t[(e + 1) % 3], p) < 1)), $"{p} is left out"));
        }

        static float Away(Vector2 a, Vector2 b, Vector2 p) => -Turn(a, b, p) / Vector2.Distance(a, b);
    }

    [Fact]
    public void Behind_a_mirror_it_turns_the_other_way()
    {
        var mirrored = s_view.Mirrored(new Vector3(0, 9, 0), -Vector3.UnitY, new Vector4(0, -1, 0, 9), (0, 0, 640, 360));
        var corners = Frustum(new Random(6));
        var list = new Growing<uint>();
        Assert.True(new OutlineTriangles().TryAdd(list, 0, corners, mirrored));
        var at = corners.Select(c => mirrored.Project(c).Pixel).ToArray();
        Assert.All(list.Span.ToArray().Chunk(3), t => Assert.True(Turn(at[t[0]], at[t[1]], at[t[2]]) < 0));
    }

    [Fact]
    public void What_reaches_behind_the_eye_has_none()
    {
        var corners = Frustum(new Random(7));
        corners[3] = s_view.Eye - (5 * s_view.RayForward);
        var list = new Growing<uint>();
        Assert.False(new OutlineTriangles().TryAdd(list, 0, corners, s_view));
        Assert.Equal(0, list.Count);
    }
}
