using Silk.NET.OpenGL;
using StageView.Render.Output;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary>Exposure, white points, tone and sRGB, once, into 8 bits.</summary>
internal sealed class CompositePass(GL gl) : IDisposable
{
    private readonly uint _array = gl.GenVertexArray();
    private GpuProgram? _program;
    private GpuProgram? _kernel;

    /// <param name="radiance">The finished view, cd/m².</param>
    /// <param name="screen">Where the picture goes.</param>
    /// <param name="tone">Exposure and curve.</param>
    /// <param name="image">The screen's texture, to write it in compute.</param>
    public void Draw(GpuTexture radiance, FrameTarget screen, ToneCurve tone, GpuTexture? image = null)
    {
        var program = image is not null ? _kernel ??= GpuProgram.Compute(gl, "tiled/screen.comp")
            : _program ??= new GpuProgram(gl, "screen.vert", "composite.frag");
        program.Use();
        var (row0, row1, row2) = tone.Rows;
        program.Set("toneRow0", row0);
        program.Set("toneRow1", row1);
        program.Set("toneRow2", row2);
        program.Set("toneGains", tone.Gains);
        radiance.Bind(Slots.RadianceMap);
        if (image is not null)
        {
            Kernel.Run(gl, program, image, (0, 0, image.Width, image.Height));
            return;
        }

        PassState.WholeScreen(gl, screen);
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    public void Dispose()
    {
        _program?.Dispose();
        _kernel?.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
