using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Surfaces;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Pixel surfaces into the surface targets: what they emit as radiance, their face as dark resin. Runs after <see cref="GeometryPass"/> with its depth.
/// </summary>
internal sealed class PixelPass : IDisposable
{
    private readonly GL _gl;
    private readonly PixelTable _table = new();
    private readonly GpuTable _pixels;
    private readonly GpuTable _flats;
    private readonly GpuTable _globes;
    private readonly uint _array;
    private GpuProgram? _flatProgram;
    private GpuProgram? _globeProgram;

    public PixelPass(GL gl)
    {
        _gl = gl;
        _pixels = new GpuTable(gl);
        _flats = new GpuTable(gl);
        _globes = new GpuTable(gl);
        _array = gl.GenVertexArray();
    }

    /// <summary>Once a frame, for all views; asks nothing of OpenGL.</summary>
    public void Gather(Moment moment) => _table.Fill(moment);

    /// <summary>Hands over what was gathered.</summary>
    public void Upload()
    {
        if (_table.Pixels.Length > 0)
        {
            _pixels.Fill(_table.Pixels);
            _flats.Fill(_table.Flats);
            _globes.Fill(_table.Globes);
        }
    }

    /// <summary>Expects the surface targets bound, depth test and mirror clipping as <see cref="GeometryPass.Draw"/> leaves them.</summary>
    public void Draw(View view, Targets targets)
    {
        if (_table.Pixels.Length == 0)
        {
            return;
        }

        targets.Surfaces.Bind();
        _gl.DepthMask(true);
        _gl.Disable(EnableCap.Blend);
        _gl.Enable(EnableCap.DepthTest);
        _gl.DepthFunc(DepthFunction.Lequal);
        _gl.Disable(EnableCap.CullFace);
        var mirrored = view.Face.W != 1 || view.Face.X != 0 || view.Face.Y != 0 || view.Face.Z != 0;
        if (mirrored)
        {
            _gl.Enable(EnableCap.ClipDistance0);
        }

        _gl.BindVertexArray(_array);
        _pixels.Bind(Slots.PixelRows);
        if (_table.Flats.Length > 0)
        {
            _flatProgram ??= new GpuProgram(_gl, "pixels.vert", "pixels.frag");
            Draw(_flatProgram, _flats, _table.Flats.Length);
        }

        if (_table.Globes.Length > 0)
        {
            _globeProgram ??= new GpuProgram(_gl, "pixels.vert", "pixels.frag", "GLOBES");
            Draw(_globeProgram, _globes, _table.Globes.Length);
        }

        if (mirrored)
        {
            _gl.Disable(EnableCap.ClipDistance0);
        }
    }

    public void Dispose()
    {
        _flatProgram?.Dispose();
        _globeProgram?.Dispose();
        _pixels.Dispose();
        _flats.Dispose();
        _globes.Dispose();
        _gl.DeleteVertexArray(_array);
    }

    private void Draw(GpuProgram program, GpuTable rows, int surfaces)
    {
        program.Use();
        rows.Bind(Slots.SourceRows);
        _gl.DrawArraysInstanced(PrimitiveType.TriangleStrip, 0, 4, (uint)surfaces);
    }
}
