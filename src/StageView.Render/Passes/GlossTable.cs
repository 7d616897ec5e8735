using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary><see cref="GlossShares"/> as a picture for <c>shaders/include/gloss.glsl</c>, made when something first shines.</summary>
internal sealed unsafe class GlossTable(GL gl) : IDisposable
{
    private GpuTexture? _table;

    /// <summary>Whether anything in the moment shines.</summary>
    public bool IsUsed { get; private set; }

    public void Prepare(Moment moment)
    {
        IsUsed = false;
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            IsUsed |= piece.Shine > 0;
        }

        if (!IsUsed || _table is not null)
        {
            return;
        }

        const int side = GlossShares.Side;
        var cells = new Vector4[side * side];
        for (var i = 0; i < cells.Length; i++)
        {
            var root = i / side / (side - 1f);
            var (a, b) = GlossShares.Mean(root * root);
            cells[i] = new Vector4(GlossShares.Table[i], a, b);
        }

        _table = new GpuTexture(gl, InternalFormat.Rgba32f, side, side, linear: true);
        _table.Bind(Slots.GlossShares);
        fixed (Vector4* p = cells)
        {
            gl.TexSubImage2D(TextureTarget.Texture2D, 0, 0, 0, side, side, PixelFormat.Rgba, PixelType.Float, p);
        }
    }

    public void Bind()
    {
        if (IsUsed)
        {
            _table!.Bind(Slots.GlossShares);
        }
    }

    public void Dispose() => _table?.Dispose();
}
