using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Interreflection;
using StageView.Light.Moments;
using StageView.Render.Plans;
using StageView.Render.Resources;
using StageView.Render.Scenery;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>Scenery and fixture bodies into albedo, normal, distance; their own radiance is the work light and what matt surfaces throw.</summary>
internal sealed unsafe class GeometryPass : IDisposable
{
    /// <summary>Where the shader takes the parts of <see cref="InstanceRows"/>; 6 is the paint's.</summary>
    private static readonly uint[] Attributes = [2, 3, 4, 5, 7];

    private readonly GL _gl;
    private readonly MeshStore _meshes;
    private readonly GpuBuffer _instances;
    private readonly uint _array;
    private readonly Growing<InstanceRows> _rows = new();
    private readonly List<int> _firsts = [];
    private readonly MattStore _matt;

    /// <summary>Plain, painted; then the same with indirect light.</summary>
    private readonly GpuProgram?[] _programs = new GpuProgram?[4];
    private GpuProgram? _clear;

    public GeometryPass(GL gl, MeshStore meshes)
    {
        (_gl, _meshes) = (gl, meshes);
        _instances = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _matt = new MattStore(gl);
        _array = gl.GenVertexArray();
    }

    /// <summary>Takes the moment's instances, and what matt surfaces throw on each other or null.</summary>
    public void Prepare(Moment moment, MattLight? indirect)
    {
        _matt.Gather(moment, indirect);
        Scenery.Fill(moment, _meshes, _matt);
    }

    /// <summary>The moment's instances.</summary>
    public SceneryRows Scenery { get; } = new();

    /// <summary>Hands over what each view shows, before the first is drawn.</summary>
    /// <param name="ahead">Views that were looked at ahead; the others are drawn with all there is.</param>
    /// <param name="views">Of all.</param>
    public void Upload(IReadOnlyList<ViewPlan> ahead, int views)
    {
        _rows.Clear();
        _firsts.Clear();
        if (views > ahead.Count)
        {
            _rows.Add(Scenery.Rows);
        }

        foreach (var plan in ahead)
        {
            _firsts.Add(_rows.Count);
            _rows.Add(plan.Scenery.Rows);
        }

        _instances.Fill<InstanceRows>(_rows.Span);
        _matt.Upload();
        _gl.BindVertexArray(_array);
        _meshes.Attach();
        _meshes.Paint.Attach();
        foreach (var a in Attributes)
        {
            _gl.EnableVertexAttribArray(a);
            _gl.VertexAttribDivisor(a, 1);
        }
    }

    /// <summary>Empties the targets where some views are going to be, and around them.</summary>
    /// <param name="batch">The views.</param>
    /// <param name="targets">What they are drawn into.</param>
    /// <param name="tiled">In compute.</param>
    public void Clear(IReadOnlyList<ViewPlan> batch, Targets targets, bool tiled)
    {
        if (tiled)
        {
            Clear(batch, targets);
        }

        targets.Surfaces.Bind();
        _gl.DepthMask(true);
        if (!tiled)
        {
            ReadOnlySpan<float> black = [0, 0, 0, 0];
            ReadOnlySpan<float> nothing = [View.Nothing, 0, 0, 0];
            _gl.Enable(EnableCap.ScissorTest);
            foreach (var plan in batch)
            {
                var (x, y, width, height) = plan.View.Around(plan.Reach);
                _gl.Scissor(x, y, (uint)width, (uint)height);
                for (var i = 0; i < 3; i++)
                {
                    _gl.ClearBuffer(BufferKind.Color, i, black);
                }

                _gl.ClearBuffer(BufferKind.Color, 3, nothing);
                ClearDepth();
            }

            return;
        }

        // All of it: a GPU forgets a whole picture at once, but empties a part of one by drawing.
        _gl.Disable(EnableCap.ScissorTest);
        ClearDepth();
    }

    /// <param name="plan">Who looks.</param>
    /// <param name="targets">Emptied before, see <see cref="Clear(IReadOnlyList{ViewPlan}, Targets, bool)"/>.</param>
    public void Draw(ViewPlan plan, Targets targets)
    {
        PassState.Surfaces(_gl, targets.Surfaces, plan.View);
        _gl.BindVertexArray(_array);
        _instances.Bind();
        if (_matt.IsOn)
        {
            _matt.Bind();
        }

        var ahead = plan.Number < _firsts.Count;
        var from = ahead ? _firsts[plan.Number] : 0;
        foreach (var (mesh, first, count) in ahead ? plan.Scenery.Runs : Scenery.Runs)
        {
            Enter(mesh, from + first);
            Triangles(mesh, _meshes[mesh].FirstIndex, _meshes[mesh].IndexCount, count);
        }

        var before = (-1, -1);
        foreach (var (mesh, row, firstIndex, indexCount) in ahead ? plan.Scenery.Parts : [])
        {
            if (before != (mesh, row))
            {
                Enter(mesh, from + row);
                before = (mesh, row);
            }

            Triangles(mesh, firstIndex, indexCount, 1);
        }
    }

    /// <summary>What is drawn next is instances of a mesh, from a row on.</summary>
    private void Enter(int mesh, int row)
    {
        for (var a = 0; a < Attributes.Length; a++)
        {
            _gl.VertexAttribPointer(Attributes[a], 4, VertexAttribPointerType.Float, false, (uint)sizeof(InstanceRows),
                (void*)((row * sizeof(InstanceRows)) + (a * sizeof(Vector4))));
        }

        if (_meshes.Paint.Bind(mesh, out var scale))
        {
            var painted = Program(painted: true);
            painted.Use();
            painted.Set("paintScale", scale);
        }
        else
        {
            Program(painted: false).Use();
        }
    }

    private void Triangles(int mesh, int firstIndex, int indexCount, int instances) =>
        _gl.DrawElementsInstancedBaseVertex(PrimitiveType.Triangles, (uint)indexCount, DrawElementsType.UnsignedInt, (void*)(firstIndex * sizeof(uint)),
            (uint)instances, _meshes[mesh].FirstVertex);

    private GpuProgram Program(bool painted) => _programs[(painted ? 1 : 0) + (_matt.IsOn ? 2 : 0)] ??=
        new GpuProgram(_gl, "scene.vert", "scene.frag", [.. painted ? (string[])["PAINTED"] : [], .. _matt.IsOn ? (string[])["MATT"] : []]);

    private void Clear(IReadOnlyList<ViewPlan> batch, Targets targets)
    {
        _clear ??= GpuProgram.Compute(_gl, "tiled/clear.comp");
        // Fragments may still be reading what was there.
        Kernel.Written(_gl);
        _clear.Use();
        _clear.Set("nothing", View.Nothing);
        Kernel.Image(_gl, targets.Albedo, 1);
        Kernel.Image(_gl, targets.Normal, 2);
        Kernel.Image(_gl, targets.Distance, 3);
        foreach (var plan in batch)
        {
            Kernel.Start(_gl, _clear, targets.Radiance, plan.View.Around(plan.Reach));
        }

        Kernel.Written(_gl);
    }

    private void ClearDepth()
    {
        ReadOnlySpan<float> one = [1];
        _gl.ClearBuffer(BufferKind.Depth, 0, one);
    }

    public void Dispose()
    {
        foreach (var program in _programs)
        {
            program?.Dispose();
        }

        _matt.Dispose();
        _clear?.Dispose();
        _instances.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
