using Silk.NET.OpenGL;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary>Running a compute program whose image 0 is what it writes.</summary>
internal static class Kernel
{
    /// <summary>A thread a pixel of an area, in groups of 8 x 8. The program is in use, its uniforms but <c>area</c> are set.</summary>
    public static void Run(GL gl, GpuProgram program, GpuTexture image, (int X, int Y, int Width, int Height) area)
    {
        Start(gl, program, image, area);
        Written(gl);
    }

    /// <summary>The same for one of several areas that touch nothing of each other, without <see cref="Written"/>, which has to follow the last.</summary>
    public static void Start(GL gl, GpuProgram program, GpuTexture image, (int X, int Y, int Width, int Height) area)
    {
        program.Set("area", area.X, area.Y, area.Width, area.Height);
        Image(gl, image);
        gl.DispatchCompute((uint)(area.Width + 7) / 8, (uint)(area.Height + 7) / 8, 1);
    }

    public static void Image(GL gl, GpuTexture image, uint unit = 0) =>
        gl.BindImageTexture(unit, image.Id, 0, false, 0, BufferAccessARB.ReadWrite, image.Format);

    /// <summary>What follows sees what was written, in whichever way it reads it, and writes nothing that is still read.</summary>
    public static void Written(GL gl) => gl.MemoryBarrier(
        MemoryBarrierMask.ShaderImageAccessBarrierBit | MemoryBarrierMask.TextureFetchBarrierBit | MemoryBarrierMask.FramebufferBarrierBit
        | MemoryBarrierMask.ShaderStorageBarrierBit | MemoryBarrierMask.TextureUpdateBarrierBit | MemoryBarrierMask.PixelBufferBarrierBit);
}
