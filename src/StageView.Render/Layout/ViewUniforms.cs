using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>One view of the moment: the camera's, or the camera's image behind a mirror. Uniforms of <c>shaders/include/view.glsl</c> (std140).</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct ViewUniforms
{
    public Matrix4x4 ViewProjection;

    /// <summary>m; w 1.</summary>
    public Vector4 Eye;

    /// <summary>Ray direction at (x, y) in -1..1 = <see cref="RayForward"/> + x this + y <see cref="RayUp"/>; w 0.</summary>
    public Vector4 RayRight;

    /// <inheritdoc cref="RayRight"/>
    public Vector4 RayUp;

    /// <inheritdoc cref="RayRight"/>
    public Vector4 RayForward;

    /// <summary>A mirror's front: n, d; what is seen has n·X + d ≥ 0; (0,0,0,1) for the camera itself.</summary>
    public Vector4 Face;

    /// <summary>Of the haze, 1/m.</summary>
    public float Extinction;

    /// <summary>Of the haze, 1/m.</summary>
    public float Scattering;

    /// <summary>g of the haze.</summary>
    public float Anisotropy;

    /// <summary>Of the haze, 0 to 1.</summary>
    public float Unevenness;

    /// <summary>Of the haze's patches so far, m.</summary>
    public Vector3 Drift;

    /// <summary>1/m.</summary>
    public float PatchesPerMetre;

    /// <summary>Pixels.</summary>
    public Vector2 Size;

    /// <summary>1 / <see cref="Size"/>.</summary>
    public Vector2 PerPixel;

    /// <summary>Distance where there is nothing, m.</summary>
    public float Nothing;

    /// <summary>Of one pixel, rad.</summary>
    public float PixelAngle;

    /// <summary>lx.</summary>
    public float WorkLight;

    /// <summary>Of the haze's patches.</summary>
    public float Seed;

    /// <summary>1 where what is finer than a pixel is filtered more softly, else 0; and what is free.</summary>
    public Vector4 Filtering;
}
