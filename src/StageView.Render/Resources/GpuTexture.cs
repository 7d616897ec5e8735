using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>A 2D texture of one level, clamped at its edges.</summary>
internal sealed unsafe class GpuTexture : IDisposable
{
    private readonly GL _gl;

    public GpuTexture(GL gl, InternalFormat format, int width, int height, bool linear = false)
    {
        (_gl, Width, Height, Format) = (gl, width, height, format);
        Id = gl.GenTexture();
        gl.ActiveTexture(TextureUnit.Texture31);
        gl.BindTexture(TextureTarget.Texture2D, Id);
        var (layout, type) = format switch
        {
            InternalFormat.DepthComponent32f => (PixelFormat.DepthComponent, PixelType.Float),
            InternalFormat.R32f or InternalFormat.R16f => (PixelFormat.Red, PixelType.Float),
            InternalFormat.Rgba8 => (PixelFormat.Rgba, PixelType.UnsignedByte),
            _ => (PixelFormat.Rgba, PixelType.Float),
        };
        gl.TexImage2D(TextureTarget.Texture2D, 0, format, (uint)width, (uint)height, 0, layout, type, null);
        var filter = (int)(linear ? GLEnum.Linear : GLEnum.Nearest);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMinFilter, filter);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMagFilter, filter);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapS, (int)GLEnum.ClampToEdge);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapT, (int)GLEnum.ClampToEdge);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMaxLevel, 0);
    }

    public uint Id { get; }

    public int Width { get; }

    public int Height { get; }

    public InternalFormat Format { get; }

    public void Bind(int unit)
    {
        _gl.ActiveTexture(TextureUnit.Texture0 + unit);
        _gl.BindTexture(TextureTarget.Texture2D, Id);
    }

    public void Dispose() => _gl.DeleteTexture(Id);
}
