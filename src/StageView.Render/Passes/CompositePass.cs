using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>Exposure, white point, tone and sRGB, once, into 8 bits.</summary>
internal sealed class CompositePass(GL gl) : IDisposable
{
    private readonly uint _array = gl.GenVertexArray();
    private GpuProgram? _program;

    public void Draw(GpuTexture radiance, Framebuffer screen, ToneCurve tone)
    {
        _program ??= new GpuProgram(gl, "screen.vert", "composite.frag");
        PassState.WholeScreen(gl, screen);
        _program.Use();
        var (row0, row1, row2) = tone.Rows;
        _program.Set("toneRow0", row0);
        _program.Set("toneRow1", row1);
        _program.Set("toneRow2", row2);
        radiance.Bind(Slots.RadianceMap);
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    public void Dispose()
    {
        _program?.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
