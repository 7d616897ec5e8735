using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Render.Views;

/// <summary>Where a picture is seen from: a camera, or its image behind a mirror, which covers the same pixels.</summary>
internal sealed class View
{
    /// <summary>Nearest distance drawn, m.</summary>
    public const float Near = 0.05f;

    /// <summary>Farthest distance drawn, m.</summary>
    public const float Far = 1000;

    /// <summary>What the distance map holds where there is nothing, m.</summary>
    public const float Nothing = 900;

    private View(int width, int height) => (Width, Height) = (width, height);

    public int Width { get; }

    public int Height { get; }

    public Matrix4x4 ViewProjection { get; private init; }

    public Vector3 Eye { get; private init; }

    public Vector3 RayRight { get; private init; }

    public Vector3 RayUp { get; private init; }

    public Vector3 RayForward { get; private init; }

    /// <summary>The mirror's front that is looked out of: n·X + d ≥ 0; (0,0,0,1) for a camera.</summary>
    public Vector4 Face { get; private init; } = new(0, 0, 0, 1);

    /// <summary>True after an odd number of mirrors: triangles then wind the other way.</summary>
    public bool Flipped { get; private init; }

    /// <summary>True behind any mirror.</summary>
    public bool IsMirrored { get; private init; }

    /// <summary>Pixels that are needed: x, y, width, height from the lower left.</summary>
    public (int X, int Y, int Width, int Height) Area { get; private init; }

    /// <summary>The area and some pixels around it, as far as the picture goes.</summary>
    public (int X, int Y, int Width, int Height) Around(int pixels)
    {
        var (x, y) = (Math.Max(0, Area.X - pixels), Math.Max(0, Area.Y - pixels));
        return (x, y, Math.Min(Width, Area.X + Area.Width + pixels) - x, Math.Min(Height, Area.Y + Area.Height + pixels) - y);
    }

    /// <summary>Edges of an area of the picture in clip space, as shares of w.</summary>
    public (float Left, float Right, float Low, float High) Edges((int X, int Y, int Width, int Height) area) =>
        ((2f * area.X / Width) - 1, (2f * (area.X + area.Width) / Width) - 1, (2f * area.Y / Height) - 1, (2f * (area.Y + area.Height) / Height) - 1);

    /// <summary>Angle of one pixel at the middle of the picture, rad.</summary>
    public float PixelAngle => 2 * RayUp.Length() / Height;

    /// <param name="camera">Where it stands.</param>
    /// <param name="width">Pixels.</param>
    /// <param name="height">Pixels.</param>
    /// <param name="offset">A point of the lens, right and up from its middle, m; the plane in focus stays where it is in the picture.</param>
    /// <param name="place">Where in each pixel it is looked, right and up from its middle, pixels.</param>
    public static View Of(Camera camera, int width, int height, Vector2 offset = default, Vector2 place = default)
    {
        var f = Vector3.Normalize(camera.Target - camera.Position);
        var right = Vector3.Cross(f, camera.Up);
        right = right.LengthSquared() < 1e-8f ? Vector3.UnitX : Vector3.Normalize(right);
        var up = Vector3.Cross(right, f);
        var tan = Trig.Tan(camera.VerticalFieldRadians / 2);
        var wide = tan * width / height;
        var (rs, us) = (right / wide, up / tan);
        const float a = (Far + Near) / (Far - Near);
        const float b = -2 * Far * Near / (Far - Near);
        var e = camera.Position + (right * offset.X) + (up * offset.Y);
        var shear = offset == default ? default : offset / camera.FocusDistance;
        shear -= place * (2 * tan / height);
        (rs, us) = (rs + (f * (shear.X / wide)), us + (f * (shear.Y / tan)));
        var ef = Vector3.Dot(e, f);
        // Row vectors: each column gives one clip coordinate.
        var m = new Matrix4x4(
            rs.X, us.X, a * f.X, f.X,
            rs.Y, us.Y, a * f.Y, f.Y,
            rs.Z, us.Z, a * f.Z, f.Z,
            -Vector3.Dot(e, rs), -Vector3.Dot(e, us), (-a * ef) + b, -ef);
        return new View(width, height)
        {
            ViewProjection = m,
            Eye = e,
            RayRight = right * wide,
            RayUp = up * tan,
            RayForward = f - (right * shear.X) - (up * shear.Y),
            Area = (0, 0, width, height),
        };
    }

    /// <summary>This view as seen in a mirror, limited to an area of the picture.</summary>
    /// <param name="onPlane">A point of the plane that the image is mirrored at.</param>
    /// <param name="normal">Its unit normal.</param>
    /// <param name="face">The mirror's front (n, d): nothing behind it is seen.</param>
    public View Mirrored(Vector3 onPlane, Vector3 normal, Vector4 face, (int X, int Y, int Width, int Height) area)
    {
        var d = -Vector3.Dot(normal, onPlane);
        var reflect = Matrix4x4.CreateReflection(new Plane(normal, d));
        return new View(Width, Height)
        {
            ViewProjection = reflect * ViewProjection,
            Eye = Eye - (normal * (2 * (Vector3.Dot(normal, Eye) + d))),
            RayRight = Vector3.Reflect(RayRight, normal),
            RayUp = Vector3.Reflect(RayUp, normal),
            RayForward = Vector3.Reflect(RayForward, normal),
            Face = face,
            IsMirrored = true,
            Flipped = !Flipped,
            Area = area,
        };
    }

    /// <summary>
    /// Where a world point falls in the picture, pixels from the lower left; w is the distance along the view axis, at most 0 behind the eye.
    /// </summary>
    public (Vector2 Pixel, float W) Project(Vector3 point)
    {
        var c = Vector4.Transform(new Vector4(point, 1), ViewProjection);
        return (new Vector2(((c.X / c.W) + 1) * 0.5f * Width, ((c.Y / c.W) + 1) * 0.5f * Height), c.W);
    }
}
