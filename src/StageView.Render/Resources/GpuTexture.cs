using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>A 2D texture, clamped at its edges: of one level, or in steps of half the width.</summary>
internal sealed unsafe class GpuTexture : IDisposable
{
    private readonly GL _gl;

    public GpuTexture(GL gl, InternalFormat format, int width, int height, bool linear = false, bool steps = false)
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
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMinFilter, steps ? (int)GLEnum.LinearMipmapLinear : filter);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMagFilter, filter);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapS, (int)GLEnum.ClampToEdge);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapT, (int)GLEnum.ClampToEdge);
        if (!steps)
        {
            gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMaxLevel, 0);
        }
    }

    /// <summary>Works out what it looks like in halves, quarters and so on, where it has these.</summary>
    public void MakeSteps()
    {
        _gl.ActiveTexture(TextureUnit.Texture31);
        _gl.BindTexture(TextureTarget.Texture2D, Id);
        _gl.GenerateMipmap(TextureTarget.Texture2D);
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
