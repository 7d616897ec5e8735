using System.Numerics;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Beams;

/// <summary>
/// A hull's outline in a picture as few triangles: a rasteriser on the CPU works in blocks of pixels and draws a block once for each triangle that touches it.
/// </summary>
internal sealed class OutlineTriangles
{
    /// <summary>A corner that stands out by less than this is left out, pixels.</summary>
    private const float Flat = 0.3f;

    private (Vector2 At, int Corner)[] _points = new (Vector2, int)[64];
    private int[] _around = new int[128];

    /// <summary>Adds the outline's triangles, which face the eye, or nothing where a corner lies behind the eye.</summary>
    /// <param name="list">Takes indices of corners.</param>
    /// <param name="first">The hull's first corner among all.</param>
    /// <param name="corners">The hull's, a near and a far one in turn.</param>
    /// <param name="view">Who looks.</param>
    /// <returns>False where nothing was added.</returns>
    public bool TryAdd(Growing<uint> list, uint first, ReadOnlySpan<Vector3> corners, View view)
    {
        if (_points.Length < corners.Length)
        {
            (_points, _around) = (new (Vector2, int)[corners.Length * 2], new int[corners.Length * 4]);
        }

        var (near, far) = (Vector2.Zero, Vector2.Zero);
        for (var i = 0; i < corners.Length; i++)
        {
            var (pixel, w) = view.Project(corners[i]);
            if (w < View.Near)
            {
                return false;
            }

            _points[i] = (pixel, i);
            (near, far) = i % 2 == 0 ? (near + pixel, far) : (near, far + pixel);
        }

        var around = _around.AsSpan(0, Flattened(Around(corners.Length)));
        if (around.Length < 3)
        {
            return true;
        }

        Zigzag(list, first, around, near - far, view.Flipped);
        return true;
    }

    /// <summary>The convex hull of the points, counter-clockwise (A. M. Andrew, 1979); how many are on it.</summary>
    private int Around(int count)
    {
        var points = _points.AsSpan(0, count);
        Sort(points);
        var kept = 0;
        for (var turn = 0; turn < 2; turn++)
        {
            var floor = kept + 1;
            for (var k = 0; k < count; k++)
            {
                var i = turn == 0 ? k : count - 1 - k;
                while (kept > floor && Turn(points[_around[kept - 2]].At, points[_around[kept - 1]].At, points[i].At) <= 0)
                {
                    kept--;
                }

                _around[kept++] = i;
            }

            // The last is the first of the other half.
            kept--;
        }

        return kept;
    }

    /// <summary>By insertion: there are some twenty.</summary>
    private static void Sort(Span<(Vector2 At, int Corner)> points)
    {
        for (var i = 1; i < points.Length; i++)
        {
            var (point, k) = (points[i], i);
            for (; k > 0 && (points[k - 1].At.X > point.At.X || (points[k - 1].At.X == point.At.X && points[k - 1].At.Y > point.At.Y)); k--)
            {
                points[k] = points[k - 1];
            }

            points[k] = point;
        }
    }

    /// <summary>Leaves out what stands out by less than can be seen; how many are left.</summary>
    private int Flattened(int count)
    {
        var kept = 0;
        for (var i = 0; i < count; i++)
        {
            var (before, here, after) = (_points[_around[kept > 0 ? kept - 1 : count - 1]].At, _points[_around[i]].At, _points[_around[(i + 1) % count]].At);
            if (Turn(before, here, after) > Flat * Vector2.Distance(before, after))
            {
                _around[kept++] = _around[i];
            }
        }

        return kept;
    }

    /// <summary>From one end to the other, so that few sides inside run along the whole.</summary>
    private void Zigzag(Growing<uint> list, uint first, ReadOnlySpan<int> around, Vector2 towards, bool clockwise)
    {
        var start = 0;
        for (var i = 1; i < around.Length; i++)
        {
            start = Vector2.Dot(_points[around[i]].At - _points[around[start]].At, towards) > 0 ? i : start;
        }

        var (left, right) = (start, start + around.Length - 1);
        for (var fromLeft = true; right - left > 1; fromLeft = !fromLeft)
        {
            var (a, b, c) = fromLeft ? (left, left + 1, right) : (left, right - 1, right);
            (left, right) = fromLeft ? (left + 1, right) : (left, right - 1);
            (b, c) = clockwise ? (c, b) : (b, c);
            list.Add(Corner(around, a));
            list.Add(Corner(around, b));
            list.Add(Corner(around, c));
        }

        uint Corner(ReadOnlySpan<int> ring, int at) => first + (uint)_points[ring[at % ring.Length]].Corner;
    }

    private static float Turn(Vector2 a, Vector2 b, Vector2 c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));
}
