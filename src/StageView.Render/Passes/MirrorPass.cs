using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Plans;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>Mirror faces among the surfaces of a view: fronts show the view behind them where it was drawn, backs are dark.</summary>
internal sealed unsafe class MirrorPass : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _corners;
    private readonly uint _array;
    private readonly Growing<Corner> _triangles = new();
    private readonly List<(int First, int Count)> _runs = [];
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
        _triangles.Clear();
        _runs.Clear();
        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            var first = _triangles.Count;
            var outline = moment.OutlineOf(mirror.Outline);
            for (var i = 2; i < outline.Length; i++)
            {
                _triangles.Add(new Corner(outline[0], mirror.Normal));
                _triangles.Add(new Corner(outline[i - 1], mirror.Normal));
                _triangles.Add(new Corner(outline[i], mirror.Normal));
            }

            _runs.Add((first, _triangles.Count - first));
        }

        _gl.BindVertexArray(_array);
        _corners.Fill<Corner>(_triangles.Span);
        for (uint i = 0; i < 2; i++)
        {
            _gl.EnableVertexAttribArray(i);
            _gl.VertexAttribPointer(i, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Corner), (void*)(i * sizeof(Vector3)));
        }
    }

    /// <summary>All faces without what is seen in them: where the view has no deeper one.</summary>
    public void DrawDark(View view, Targets targets)
    {
        Enter(view, targets);
        _program!.Set("optics", new Vector4(0, 0, 1, 0));
        _gl.DrawArrays(PrimitiveType.Triangles, 0, (uint)_triangles.Count);
    }

    /// <param name="behind">The mirrored view and what it was drawn into, or null where none was (too many mirrors, or their backs are seen).</param>
    public void Draw(Moment moment, MirrorGroups.Group group, View view, Targets targets, (View View, Targets Targets)? behind)
    {
        Enter(view, targets);
        if (behind is var (mirrored, drawn))
        {
            drawn.Radiance.Bind(Slots.MirrorMap);
            drawn.Distance.Bind(Slots.HazeDistance);
            var (x, y, width, height) = mirrored.Area;
            _program!.Set("area", x, y, width, height);
        }

        foreach (var index in group.Mirrors)
        {
            ref readonly var mirror = ref moment[index];
            var sheet = mirror.SheetIndex > 1 ? mirror.SheetThickness : 0;
            _program!.Set("optics", new Vector4(mirror.Reflectance, sheet, mirror.SheetIndex, behind is null ? 0 : 1));
            _gl.DrawArrays(PrimitiveType.Triangles, _runs[index.Value].First, (uint)_runs[index.Value].Count);
        }
    }

    public void Dispose()
    {
        _program?.Dispose();
        _corners.Dispose();
        _gl.DeleteVertexArray(_array);
    }

    private void Enter(View view, Targets targets)
    {
        _program ??= new GpuProgram(_gl, "mirror.vert", "mirror.frag");
        PassState.Surfaces(_gl, targets.Surfaces, view);
        _program.Use();
        _gl.BindVertexArray(_array);
    }

    private readonly record struct Corner(Vector3 Place, Vector3 Front);
}
