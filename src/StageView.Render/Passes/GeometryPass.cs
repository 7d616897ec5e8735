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

    public void Draw(View view, Targets targets)
    {
        _program ??= new GpuProgram(_gl, "scene.vert", "scene.frag");
        PassState.Surfaces(_gl, targets.Surfaces, view);
        ReadOnlySpan<float> black = [0, 0, 0, 0];
        ReadOnlySpan<float> nothing = [View.Nothing, 0, 0, 0];
        for (var i = 0; i < 3; i++)
        {
            _gl.ClearBuffer(BufferKind.Color, i, black);
        }

        _gl.ClearBuffer(BufferKind.Color, 3, nothing);
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

    public void Dispose()
    {
        _program?.Dispose();
        _instances.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
