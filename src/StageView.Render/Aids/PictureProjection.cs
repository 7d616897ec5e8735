using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Render.Aids;

/// <summary>World points to picture points of a camera: pixels from the top left, pixel centres at .5.</summary>
public readonly struct PictureProjection
{
    /// <summary>What lies nearer than this before the lens is cut off, m.</summary>
    public const float Near = 0.05f;

    private readonly Vector3 _position;
    private readonly Vector3 _right;
    private readonly Vector3 _up;
    private readonly Vector3 _forward;
    private readonly float _pixelsPerTangent;
    private readonly int _width;
    private readonly int _height;

    public PictureProjection(Camera camera, int width, int height)
    {
        ArgumentNullException.ThrowIfNull(camera);
        (_width, _height, _position) = (width, height, camera.Position);
        _forward = Vector3.Normalize(camera.Target - camera.Position);
        var side = Vector3.Cross(_forward, camera.Up);
        if (side.LengthSquared() < 1e-10f)
        {
            side = Vector3.Cross(_forward, MathF.Abs(_forward.Y) < 0.9f ? Vector3.UnitY : Vector3.UnitX);
        }

        _right = Vector3.Normalize(side);
        _up = Vector3.Cross(_right, _forward);
        _pixelsPerTangent = height * 0.5f / Trig.Tan(camera.VerticalFieldRadians * 0.5f);
    }

    /// <summary>False when the point lies behind the lens.</summary>
    public bool TryPoint(Vector3 world, out Vector2 pixel)
    {
        var v = View(world);
        pixel = v.Z >= Near ? Flat(v) : default;
        return v.Z >= Near;
    }

    /// <summary>Whether a picture point lies on the picture.</summary>
    public bool Shows(Vector2 pixel) => pixel.X >= 0 && pixel.Y >= 0 && pixel.X <= _width && pixel.Y <= _height;

    /// <summary>A world segment, cut at the lens; false when all of it lies behind.</summary>
    public bool TryLine(Vector3 from, Vector3 to, out Vector2 a, out Vector2 b)
    {
        var (u, v) = (View(from), View(to));
        a = b = default;
        if (u.Z < Near && v.Z < Near)
        {
            return false;
        }

        if (u.Z < Near)
        {
            u = Vector3.Lerp(u, v, (Near - u.Z) / (v.Z - u.Z));
        }
        else if (v.Z < Near)
        {
            v = Vector3.Lerp(v, u, (Near - v.Z) / (u.Z - v.Z));
        }

        (a, b) = (Flat(u), Flat(v));
        return true;
    }

    private Vector3 View(Vector3 world)
    {
        var d = world - _position;
        return new(Vector3.Dot(d, _right), Vector3.Dot(d, _up), Vector3.Dot(d, _forward));
    }

    private Vector2 Flat(Vector3 v) => new(
        (_width * 0.5f) + (v.X / v.Z * _pixelsPerTangent), (_height * 0.5f) - (v.Y / v.Z * _pixelsPerTangent));
}
