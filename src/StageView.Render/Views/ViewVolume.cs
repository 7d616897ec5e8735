using System.Numerics;

namespace StageView.Render.Views;

/// <summary>What may be seen in the area of one view: between its four edges, before the eye, and before the mirror that is looked out of.</summary>
internal readonly struct ViewVolume
{
    /// <summary>What rounding may do far from the eye, m.</summary>
    private const float Margin = 0.01f;

    // Half-spaces n·X + d ≥ 0 of unit normals, m.
    private readonly Vector4 _left;
    private readonly Vector4 _right;
    private readonly Vector4 _low;
    private readonly Vector4 _high;
    private readonly Vector4 _front;
    private readonly Vector4 _face;

    public ViewVolume(View view)
        : this(view, view.Area)
    {
    }

    /// <param name="area">Pixels: x, y, width, height from the lower left.</param>
    public ViewVolume(View view, (int X, int Y, int Width, int Height) area)
    {
        var m = view.ViewProjection;
        var (x, y, w) = (new Vector4(m.M11, m.M21, m.M31, m.M41), new Vector4(m.M12, m.M22, m.M32, m.M42), new Vector4(m.M14, m.M24, m.M34, m.M44));
        var (left, right, low, high) = view.Edges(area);
        (_left, _right) = (Unit(x - (left * w)), Unit((right * w) - x));
        (_low, _high) = (Unit(y - (low * w)), Unit((high * w) - y));
        (_front, _face) = (Unit(w), view.Face);
    }

    /// <summary>False for a ball that lies wholly outside.</summary>
    public bool MayHold(Vector3 middle, float radius)
    {
        var (m, least) = (new Vector4(middle, 1), -radius - Margin);
        return Vector4.Dot(_left, m) >= least && Vector4.Dot(_right, m) >= least && Vector4.Dot(_low, m) >= least
            && Vector4.Dot(_high, m) >= least && Vector4.Dot(_front, m) >= least && Vector4.Dot(_face, m) >= least;
    }

    /// <summary>False when all points lie outside one side.</summary>
    public bool MayHold(ReadOnlySpan<Vector3> points) =>
        AnyWithin(_left, points) && AnyWithin(_right, points) && AnyWithin(_low, points) && AnyWithin(_high, points) && AnyWithin(_front, points)
        && AnyWithin(_face, points);

    private static bool AnyWithin(Vector4 plane, ReadOnlySpan<Vector3> points)
    {
        foreach (ref readonly var p in points)
        {
            if (Vector4.Dot(plane, new Vector4(p, 1)) >= 0)
            {
                return true;
            }
        }

        return false;
    }

    private static Vector4 Unit(Vector4 plane)
    {
        var length = new Vector3(plane.X, plane.Y, plane.Z).Length();
        return length > 0 ? plane / length : Vector4.Zero;
    }
}
