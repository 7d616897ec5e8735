using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>Mirror faces among the surfaces of a view: fronts show the view behind them where it was drawn, backs are dark.</summary>
internal sealed unsafe class MirrorPass : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _corners;
    private readonly uint _array;
    private GpuProgram? _program;

    public MirrorPass(GL gl)
    {
        _gl = gl;
        _corners = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _array = gl.GenVertexArray();
    }

    /// <summary>Takes the moment's outlines; once a frame.</summary>
    public void Prepare(Moment moment)
    {
        _gl.BindVertexArray(_array);
        _corners.Fill(moment.Outlines.Span);
        _gl.EnableVertexAttribArray(0);
        _gl.VertexAttribPointer(0, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Vector3), (void*)0);
    }

    /// <param name="behind">The mirrored view's targets, or null where none was drawn (too many mirrors, or deep enough).</param>
    public void Draw(Moment moment, MirrorGroups.Group group, View view, Targets targets, Targets? behind)
    {
        _program ??= new GpuProgram(_gl, "mirror.vert", "mirror.frag");
        PassState.Surfaces(_gl, targets.Surfaces, view);
        _program.Use();
        _program.Set("plane", group.Plane);
        behind?.Radiance.Bind(Slots.MirrorMap);
        behind?.Distance.Bind(Slots.HazeDistance);
        _gl.BindVertexArray(_array);
        foreach (var index in group.Mirrors)
        {
            ref readonly var mirror = ref moment.Mirrors.Span[index];
            var sheet = mirror.SheetIndex > 1 ? mirror.SheetThickness : 0;
            _program.Set("optics", new Vector4(mirror.Reflectance, sheet, mirror.SheetIndex, behind is null ? 0 : 1));
            _gl.DrawArrays(PrimitiveType.TriangleFan, mirror.Outline.First, (uint)mirror.Outline.Count);
        }
    }

    public void Dispose()
    {
        _program?.Dispose();
        _corners.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
