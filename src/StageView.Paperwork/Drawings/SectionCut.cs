using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Paperwork.Drawings;

/// <summary>Where an upright plane across the stage, x = constant, goes through a mesh.</summary>
internal static class SectionCut
{
    private const float Joined = 5e-4f;

    /// <summary>Closed outlines of the cut in world y, z; outlines within outlines are hollows. What a mesh leaves open is closed straight.</summary>
    public static List<Vector2[]> Loops(SceneMesh mesh, Func<Vector3, Vector3> toWorld, float x)
    {
        var world = mesh.Positions.Select(toWorld).ToArray();
        var next = new Dictionary<(int, int), List<(int, int)>>();
        var at = new Dictionary<(int, int), Vector2>();
        for (var t = 0; t + 2 < mesh.Indices.Length; t += 3)
        {
            if (Crossing(world[mesh.Indices[t]], world[mesh.Indices[t + 1]], world[mesh.Indices[t + 2]], x) is { } s)
            {
                var (a, b) = (Key(s.A), Key(s.B));
                if (a != b)
                {
                    (at[a], at[b]) = (s.A, s.B);
                    Add(next, a, b);
                    Add(next, b, a);
                }
            }
        }

        return Chain(next, at);
    }

    /// <summary>Points of a mesh that lie beyond the plane, x at most <paramref name="x"/>, with those where edges go through it.</summary>
    public static IEnumerable<Vector3> Beyond(SceneMesh mesh, Func<Vector3, Vector3> toWorld, float x)
    {
        var world = mesh.Positions.Select(toWorld).ToArray();
        foreach (var p in world)
        {
            if (p.X <= x)
            {
                yield return p;
            }
        }

        for (var t = 0; t < mesh.Indices.Length; t++)
        {
            var (a, b) = (world[mesh.Indices[t]], world[mesh.Indices[t % 3 == 2 ? t - 2 : t + 1]]);
            if ((a.X - x) * (b.X - x) < 0)
            {
                yield return Vector3.Lerp(a, b, (x - a.X) / (b.X - a.X));
            }
        }
    }

    private static (Vector2 A, Vector2 B)? Crossing(Vector3 a, Vector3 b, Vector3 c, float x)
    {
        // A corner on the plane counts as beyond it, so each triangle gives no or one stretch.
        Span<Vector2> found = stackalloc Vector2[3];
        var n = 0;
        foreach (var (p, q) in (ReadOnlySpan<(Vector3, Vector3)>)[(a, b), (b, c), (c, a)])
        {
            if ((p.X > x) != (q.X > x))
            {
                var s = (x - p.X) / (q.X - p.X);
                found[n++] = new Vector2(float.Lerp(p.Y, q.Y, s), float.Lerp(p.Z, q.Z, s));
            }
        }

        return n == 2 ? (found[0], found[1]) : null;
    }

    private static List<Vector2[]> Chain(Dictionary<(int, int), List<(int, int)>> next, Dictionary<(int, int), Vector2> at)
    {
        var loops = new List<Vector2[]>();
        foreach (var start in next.Keys.ToList())
        {
            while (next[start].Count > 0)
            {
                var loop = new List<Vector2>();
                var here = start;
                do
                {
                    loop.Add(at[here]);
                    if (next[here].Count == 0)
                    {
                        break;
                    }

                    var there = next[here][^1];
                    next[here].RemoveAt(next[here].Count - 1);
                    next[there].Remove(here);
                    here = there;
                }
                while (here != start);

                if (loop.Count > 2)
                {
                    loops.Add([.. loop]);
                }
            }
        }

        return loops;
    }

    private static void Add(Dictionary<(int, int), List<(int, int)>> next, (int, int) a, (int, int) b)
    {
        if (!next.TryGetValue(a, out var known))
        {
            next[a] = known = [];
        }

        if (!known.Contains(b))
        {
            known.Add(b);
        }
    }

    private static (int, int) Key(Vector2 p) => ((int)MathF.Round(p.X / Joined), (int)MathF.Round(p.Y / Joined));
}
