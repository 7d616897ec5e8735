using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Tests;

/// <summary>Pinhole geometry written out apart from the renderer's.</summary>
internal static class Sight
{
    /// <summary>Unit direction through the middle of a pixel; (0, 0) is the top left one.</summary>
    public static Vector3 Ray(Camera c, int width, int height, int x, int y)
    {
        var f = Vector3.Normalize(c.Target - c.Position);
        var right = Vector3.Normalize(Vector3.Cross(f, c.Up));
        var up = Vector3.Cross(right, f);
        var half = MathF.Tan(c.VerticalFieldRadians / 2);
        var u = (((x + 0.5f) / width * 2) - 1) * half * width / height;
        var v = (1 - ((y + 0.5f) / height * 2)) * half;
        return Vector3.Normalize(f + (right * u) + (up * v));
    }

    /// <summary>Pixel position (continuous, from the top left corner) of a world point.</summary>
    public static Vector2 Pixel(Camera c, int width, int height, Vector3 point)
    {
        var f = Vector3.Normalize(c.Target - c.Position);
        var right = Vector3.Normalize(Vector3.Cross(f, c.Up));
        var up = Vector3.Cross(right, f);
        var d = point - c.Position;
        var half = MathF.Tan(c.VerticalFieldRadians / 2) * Vector3.Dot(d, f);
        return new Vector2(
            ((Vector3.Dot(d, right) / (half * width / height)) + 1) * 0.5f * width,
            (1 - (Vector3.Dot(d, up) / half)) * 0.5f * height);
    }
}
