using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>The mesh instances that may be seen in the area of one view: a mirror shows a small part of a rig.</summary>
internal sealed class SceneryInView
{
    private readonly Growing<InstanceRows> _rows = new();

    public ReadOnlySpan<InstanceRows> Rows => _rows.Span;

    /// <summary>Rows of one mesh, counted from this view's first.</summary>
    public List<(int Mesh, int First, int Count)> Runs { get; } = [];

    /// <summary>Keeps what is not wholly beyond an edge of the area, or behind the eye or the mirror that is looked out of.</summary>
    public void Fill(SceneryRows all, View view)
    {
        _rows.Clear();
        Runs.Clear();
        Span<Vector4> planes = stackalloc Vector4[6];
        Planes(view, planes);
        foreach (var (mesh, first, count) in all.Runs)
        {
            var from = _rows.Count;
            for (var i = first; i < first + count; i++)
            {
                if (MayBeIn(planes, all.Balls[i]))
                {
                    _rows.Add(all.Rows[i]);
                }
            }

            if (_rows.Count > from)
            {
                Runs.Add((mesh, from, _rows.Count - from));
            }
        }
    }

    /// <summary>Half-spaces n·X + d ≥ 0 of unit normals, m.</summary>
    private static void Planes(View view, Span<Vector4> planes)
    {
        var m = view.ViewProjection;
        var (x, y, w) = (new Vector4(m.M11, m.M21, m.M31, m.M41), new Vector4(m.M12, m.M22, m.M32, m.M42), new Vector4(m.M14, m.M24, m.M34, m.M44));
        var (left, right, low, high) = view.Edges(view.Area);
        planes[0] = Unit(x - (left * w));
        planes[1] = Unit((right * w) - x);
        planes[2] = Unit(y - (low * w));
        planes[3] = Unit((high * w) - y);
        planes[4] = Unit(w);
        planes[5] = view.Face;
    }

    private static Vector4 Unit(Vector4 plane)
    {
        var length = new Vector3(plane.X, plane.Y, plane.Z).Length();
        return length > 0 ? plane / length : Vector4.Zero;
    }

    private static bool MayBeIn(ReadOnlySpan<Vector4> planes, Vector4 ball)
    {
        var middle = ball with { W = 1 };
        foreach (var plane in planes)
        {
            // A centimetre more, for what rounding does far from the eye.
            if (Vector4.Dot(plane, middle) < -ball.W - 0.01f)
            {
                return false;
            }
        }

        return true;
    }
}
