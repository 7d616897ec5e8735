using System.Numerics;

namespace StageView.Render.Stops;

/// <summary>Half-spaces as shaders take them: a normal and d in w, n·X + d ≥ 0 inside; all zero for none.</summary>
internal static class HalfSpace
{
    /// <summary>The one whose edge runs through a point, m.</summary>
    public static Vector4 Through(Vector3 normal, Vector3 point) => new(normal, -Vector3.Dot(normal, point));

    /// <summary>Of a point over the edge, m for a unit normal; 1 where there is no half-space.</summary>
    public static float Height(Vector4 plane, Vector3 point) =>
        plane == Vector4.Zero ? 1 : Vector3.Dot(new Vector3(plane.X, plane.Y, plane.Z), point) + plane.W;
}
