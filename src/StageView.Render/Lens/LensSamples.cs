using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Ground.Numbers;
using StageView.Light.Moments;
using StageView.Light.Sampling;
using StageView.Render.Passes;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Lens;

/// <summary>
/// The mean of many views. Depth of field alone: from points spread evenly over the lens (a thin lens, focused on a plane at right angles to the
/// camera's axis). No blur by distance maps, so haze, mirrors and what is seen past an edge are right; the cost is a frame a point. With
/// <see cref="FrameSample"/>s each view has a place in the pixel and a moment of its own, too.
/// </summary>
internal sealed class LensSamples(GL gl) : IDisposable
{
    /// <summary>Points on the lens.</summary>
    public const int Count = 24;

    private readonly uint _array = gl.GenVertexArray();
    private GpuProgram? _add;
    private GpuTexture? _sum;
    private FrameTarget? _target;

    /// <summary>
    /// Views from the points of a camera's lens: a spiral at equal areas, turned by the golden angle (H. Vogel, Mathematical Biosciences 44, 179, 1979).
    /// </summary>
    public static IEnumerable<View> Views(Camera camera, int width, int height)
    {
        for (var i = 0; i < Count; i++)
        {
            var radius = camera.LensDiameter / 2 * MathF.Sqrt((i + 0.5f) / Count);
            var (sin, cos) = Trig.SinCos(i * 2.39996323f);
            yield return View.Of(camera, width, height, new Vector2(radius * cos, radius * sin));
        }
    }

    /// <summary>The view of one of a frame's samples.</summary>
    public static View ViewOf(Camera camera, int width, int height, FrameSample sample) =>
        View.Of(camera, width, height, sample.CameraLens * (camera.LensDiameter / 2), sample.Pixel - new Vector2(0.5f));

    /// <summary>Starts anew.</summary>
    public void Begin(int width, int height)
    {
        if (_sum is null || _sum.Width != width || _sum.Height != height)
        {
            _target?.Dispose();
            _sum?.Dispose();
            _sum = new GpuTexture(gl, InternalFormat.Rgba32f, width, height);
            _target = new FrameTarget(gl, null, _sum);
        }

        _target!.Bind();
        gl.Disable(EnableCap.ScissorTest);
        ReadOnlySpan<float> black = [0, 0, 0, 0];
        gl.ClearBuffer(BufferKind.Color, 0, black);
    }

    /// <summary>Adds one of so many views.</summary>
    public void Add(GpuTexture radiance, int of)
    {
        _add ??= new GpuProgram(gl, "screen.vert", "lenssample.frag");
        PassState.AddLight(gl, _target!);
        gl.Viewport(0, 0, (uint)_sum!.Width, (uint)_sum.Height);
        gl.Disable(EnableCap.CullFace);
        gl.Disable(EnableCap.DepthTest);
        _add.Use();
        _add.Set("share", 1f / of);
        radiance.Bind(Slots.RadianceMap);
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    /// <summary>The mean, cd/m².</summary>
    public (GpuTexture Radiance, FrameTarget Target) Mean => (_sum!, _target!);

    public void Dispose()
    {
        _add?.Dispose();
        _target?.Dispose();
        _sum?.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
