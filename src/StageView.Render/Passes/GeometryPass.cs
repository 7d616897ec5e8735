using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>Scenery and fixture bodies into albedo, normal, distance; their own radiance is the work light alone.</summary>
internal sealed unsafe class GeometryPass : IDisposable
{
    private readonly GL _gl;
    private readonly MeshStore _meshes;
    private readonly GpuBuffer _instances;
    private readonly uint _array;
    private readonly List<(int Mesh, int First, int Count)> _runs = [];
    private GpuProgram? _program;
    private GpuProgram? _clear;
    private InstanceRows[] _rows = [];

    public GeometryPass(GL gl, MeshStore meshes)
    {
        (_gl, _meshes) = (gl, meshes);
        _instances = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _array = gl.GenVertexArray();
    }

    /// <summary>Takes the moment's instances, sorted by mesh; once a frame, for all views.</summary>
    public void Prepare(Moment moment)
    {
        var scenery = moment.Scenery.Span;
        if (_rows.Length < scenery.Length)
        {
            _rows = new InstanceRows[scenery.Length * 2];
        }

        _runs.Clear();
        var counts = new int[_meshes.Count + 1];
        foreach (ref readonly var s in scenery)
        {
            counts[s.Mesh + 1]++;
        }

        for (var m = 0; m < _meshes.Count; m++)
        {
            if (counts[m + 1] > 0)
            {
                _runs.Add((m, counts[m], counts[m + 1]));
            }

            counts[m + 1] += counts[m];
        }

        foreach (ref readonly var s in scenery)
        {
            _rows[counts[s.Mesh]++] = InstanceRows.Of(s);
        }

        _instances.Fill<InstanceRows>(_rows.AsSpan(0, scenery.Length));
    }

    /// <param name="view">Who looks.</param>
    /// <param name="targets">Emptied first.</param>
    /// <param name="tiled">Empties them in compute.</param>
    public void Draw(View view, Targets targets, bool tiled)
    {
        _program ??= new GpuProgram(_gl, "scene.vert", "scene.frag");
        if (tiled)
        {
            Clear(view, targets);
        }

        PassState.Surfaces(_gl, targets.Surfaces, view);
        if (!tiled)
        {
            ReadOnlySpan<float> black = [0, 0, 0, 0];
            ReadOnlySpan<float> nothing = [View.Nothing, 0, 0, 0];
            for (var i = 0; i < 3; i++)
            {
                _gl.ClearBuffer(BufferKind.Color, i, black);
            }

            _gl.ClearBuffer(BufferKind.Color, 3, nothing);
        }

        ReadOnlySpan<float> one = [1];
        _gl.ClearBuffer(BufferKind.Depth, 0, one);

        _program.Use();
        _gl.BindVertexArray(_array);
        _meshes.Attach();
        _instances.Bind();
        foreach (var (mesh, first, count) in _runs)
        {
            for (uint a = 0; a < 4; a++)
            {
                _gl.EnableVertexAttribArray(2 + a);
                _gl.VertexAttribPointer(2 + a, 4, VertexAttribPointerType.Float, false, (uint)sizeof(InstanceRows), (void*)((first * sizeof(InstanceRows)) + (a * sizeof(Vector4))));
                _gl.VertexAttribDivisor(2 + a, 1);
            }

            var part = _meshes[mesh];
            _gl.DrawElementsInstancedBaseVertex(
                PrimitiveType.Triangles, (uint)part.IndexCount, DrawElementsType.UnsignedInt, (void*)(part.FirstIndex * sizeof(uint)), (uint)count, part.FirstVertex);
        }
    }

    private void Clear(View view, Targets targets)
    {
        _clear ??= GpuProgram.Compute(_gl, "tiled/clear.comp");
        _clear.Use();
        _clear.Set("nothing", View.Nothing);
        Kernel.Image(_gl, targets.Albedo, 1);
        Kernel.Image(_gl, targets.Normal, 2);
        Kernel.Image(_gl, targets.Distance, 3);
        Kernel.Run(_gl, _clear, targets.Radiance, view.Area);
    }

    public void Dispose()
    {
        _program?.Dispose();
        _clear?.Dispose();
        _instances.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
