using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>The lit lenses among the surfaces of a view, see <see cref="LensCorners"/>.</summary>
internal sealed unsafe class LensPass : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _buffer;
    private readonly uint _array;
    private GpuProgram? _program;

    public LensPass(GL gl)
    {
        _gl = gl;
        _buffer = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _array = gl.GenVertexArray();
    }

    public void Draw(LensCorners lenses, View view, Targets targets)
    {
        var corners = lenses.All;
        if (corners.IsEmpty)
        {
            return;
        }

        _program ??= new GpuProgram(_gl, "lens.vert", "lens.frag");
        PassState.Surfaces(_gl, targets.Surfaces, view);
        _program.Use();
        _gl.BindVertexArray(_array);
        _buffer.Fill(corners);
        for (uint i = 0; i < 3; i++)
        {
            _gl.EnableVertexAttribArray(i);
            _gl.VertexAttribPointer(i, 3, VertexAttribPointerType.Float, false, (uint)sizeof(LensCorners.Corner), (void*)(i * sizeof(Vector3)));
        }

        _gl.DrawArrays(PrimitiveType.Triangles, 0, (uint)corners.Length);
    }

    public void Dispose()
    {
        _program?.Dispose();
        _buffer.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
