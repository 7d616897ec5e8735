using System.Numerics;
using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>The uniform block of <c>shaders/include/view.glsl</c>.</summary>
internal sealed class ViewBlock(GL gl) : IDisposable
{
    private readonly GpuBuffer _buffer = new(gl, BufferTargetARB.UniformBuffer);

    public void Fill(View view, Moment moment, float workLightLux)
    {
        var haze = moment.Haze;
        var seconds = (float)moment.Time.TotalSeconds;
        var block = new Block
        {
            ViewProjection = view.ViewProjection,
            Eye = new Vector4(view.Eye, 1),
            RayRight = new Vector4(view.RayRight, 0),
            RayUp = new Vector4(view.RayUp, 0),
            RayForward = new Vector4(view.RayForward, 0),
            Face = view.Face,
            Haze = new Vector4(haze.ExtinctionPerMetre, haze.ScatteringPerMetre, haze.Anisotropy, haze.Unevenness),
            Patches = new Vector4(haze.DriftX * seconds, haze.DriftY * seconds, haze.DriftZ * seconds, 1 / MathF.Max(haze.PatchMetres, 0.05f)),
            Size = new Vector4(view.Width, view.Height, 1f / view.Width, 1f / view.Height),
            Limits = new Vector4(View.Nothing, view.PixelAngle, workLightLux, haze.Seed),
        };
        _buffer.Fill<Block>(MemoryMarshal.CreateReadOnlySpan(ref block, 1));
        gl.BindBufferBase(BufferTargetARB.UniformBuffer, Slots.ViewBlock, _buffer.Id);
    }

    public void Dispose() => _buffer.Dispose();

    // std140: a mat4 and vec4s only, so no padding.
    [StructLayout(LayoutKind.Sequential)]
    private struct Block
    {
        public Matrix4x4 ViewProjection;
        public Vector4 Eye;
        public Vector4 RayRight;
        public Vector4 RayUp;
        public Vector4 RayForward;
        public Vector4 Face;
        public Vector4 Haze;
        public Vector4 Patches;
        public Vector4 Size;
        public Vector4 Limits;
    }
}
