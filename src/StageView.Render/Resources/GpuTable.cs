using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>Rows of four floats that shaders read by number: a buffer texture.</summary>
internal sealed class GpuTable : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _buffer;
    private readonly uint _texture;

    public GpuTable(GL gl)
    {
        _gl = gl;
        _buffer = new GpuBuffer(gl, BufferTargetARB.TextureBuffer);
        _texture = gl.GenTexture();
    }

    /// <summary>Takes rows, or groups of rows.</summary>
    public void Fill<T>(ReadOnlySpan<T> rows)
        where T : unmanaged
    {
        _buffer.Fill(rows);
        _gl.ActiveTexture(TextureUnit.Texture31);
        _gl.BindTexture(TextureTarget.TextureBuffer, _texture);
        _gl.TexBuffer(TextureTarget.TextureBuffer, SizedInternalFormat.Rgba32f, _buffer.Id);
    }

    public void Bind(int unit)
    {
        _gl.ActiveTexture(TextureUnit.Texture0 + unit);
        _gl.BindTexture(TextureTarget.TextureBuffer, _texture);
    }

    public void Dispose()
    {
        _gl.DeleteTexture(_texture);
        _buffer.Dispose();
    }
}
