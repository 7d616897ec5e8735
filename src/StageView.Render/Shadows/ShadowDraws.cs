using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;
using StageView.Render.Scenery;
using StageView.Render.Stops;

namespace StageView.Render.Shadows;

/// <summary>
/// What shadow tiles show, gathered over all tiles and drawn a mesh (or mirror) at a time: <c>shadow.vert</c> puts each instance into its tile. Of large
/// meshes each tile is given the runs that lie in its beam.
/// </summary>
internal sealed unsafe class ShadowDraws : IDisposable
{
    // Parts that are waited for should be small, but not so small that waiting is all they do.
    private const long TrianglesOfPart = 1 << 18;

    private const int Whole = -1;

    private static readonly int RowsEach = Marshal.SizeOf<CasterRows>() / ShaderStruct.RowBytes;
    private readonly GL _gl;
    private readonly MeshStore _meshes;
    private readonly GpuBuffer _corners;
    private readonly GpuTable _table;
    private readonly uint _meshArray;
    private readonly uint _mirrorArray;
    private readonly Growing<Instance> _instances = new();
    private readonly Growing<CasterRows> _rows = new();
    private GpuProgram? _program;
    private int _most;

    public ShadowDraws(GL gl, MeshStore meshes)
    {
        (_gl, _meshes) = (gl, meshes);
        _corners = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _table = new GpuTable(gl);
        _meshArray = gl.GenVertexArray();
        _mirrorArray = gl.GenVertexArray();
    }

    public void Clear() => _instances.Clear();

    /// <param name="moment">Its scenery.</param>
    /// <param name="item">What stands in the beam.</param>
    /// <param name="toTile">World (unfolded over the mirrors) to the tile's clip space.</param>
    /// <param name="place">The tile in the atlas' clip space: scale, then where its middle lies.</param>
    /// <param name="front">Half-space of the leg, in the world.</param>
    /// <param name="back">Its other one.</param>
    public void Add(Moment moment, in Occluders.Item item, in Matrix4x4 toTile, Vector4 place, Vector4 front, Vector4 back)
    {
        var model = Matrix4x4.Identity;
        var key = ~item.FirstCorner;
        MeshClusters.Run[] runs = [];
        if (item.Mirror.IsNone)
        {
            ref readonly var instance = ref moment[item.Scenery];
            var m = InstanceRows.Of(instance);
            // Row vectors: the transpose of the shader's rows.
            model = new Matrix4x4(m.X.X, m.Y.X, m.Z.X, 0, m.X.Y, m.Y.Y, m.Z.Y, 0, m.X.Z, m.Y.Z, m.Z.Z, 0, m.X.W, m.Y.W, m.Z.W, 1);
            key = instance.Mesh.Value;
            runs = _meshes[key].Runs;
        }

        // A plane n.X + d of the world, asked at points of the mesh.
        var plane = Matrix4x4.Transpose(model);
        // The memory of row vectors is that of GLSL's columns.
        var rows = new CasterRows
        {
            ToTile = model * toTile,
            Place = place,
            Front = Vector4.Transform(front, plane),
            Back = Vector4.Transform(back, plane),
        };
        if (runs.Length == 0)
        {
            _instances.Add(new Instance(key, Whole, item.Corners, rows));
            return;
        }

        var sides = Sides(rows);
        var before = _instances.Count;
        for (var run = 0; run < runs.Length; run++)
        {
            if (IsInSight(sides, runs[run]))
            {
                _instances.Add(new Instance(key, run, 0, rows));
            }
        }

        if (_instances.Count - before == runs.Length)
        {
            // All in sight: one instance costs less.
            _instances.Truncate(before);
            _instances.Add(new Instance(key, Whole, 0, rows));
        }
    }

    /// <summary>What <c>shadow.vert</c> cuts off: half-spaces n·p + d of the mesh's own axes.</summary>
    private static Sixfold Sides(in CasterRows rows)
    {
        var m = rows.ToTile;
        var (x, y, w) = (new Vector4(m.M11, m.M21, m.M31, m.M41), new Vector4(m.M12, m.M22, m.M32, m.M42), new Vector4(m.M14, m.M24, m.M34, m.M44));
        var sides = default(Sixfold);
        (sides[0], sides[1], sides[2], sides[3], sides[4], sides[5]) = (rows.Front, rows.Back, w + x, w - x, w + y, w - y);
        return sides;
    }

    private static bool IsInSight(in Sixfold sides, in MeshClusters.Run run)
    {
        foreach (ref readonly var side in sides)
        {
            if (MeshClusters.IsBehind(side, run))
            {
                return false;
            }
        }

        return true;
    }

    public void Draw(Occluders occluders)
    {
        var instances = _instances.Span;
        if (instances.Length == 0)
        {
            return;
        }

        instances.Sort(static (a, b) => (a.Key, a.Run).CompareTo((b.Key, b.Run)));
        _program ??= new GpuProgram(_gl, "shadow.vert", "shadow.frag");
        _program.Use();
        _gl.BindVertexArray(_mirrorArray);
        _corners.Fill(occluders.AllCorners);
        _gl.EnableVertexAttribArray(0);
        _gl.VertexAttribPointer(0, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Vector3), (void*)0);
        _gl.BindVertexArray(_meshArray);
        _meshes.Attach();
        // As many at a time as a buffer texture holds.
        _most = _most > 0 ? _most : Math.Max(1, _gl.GetInteger(GLEnum.MaxTextureBufferSize) / RowsEach);
        for (; instances.Length > 0; instances = instances[Math.Min(_most, instances.Length)..])
        {
            Draw(instances[..Math.Min(_most, instances.Length)]);
        }
    }

    public void Dispose()
    {
        _program?.Dispose();
        _corners.Dispose();
        _table.Dispose();
        _gl.DeleteVertexArray(_meshArray);
        _gl.DeleteVertexArray(_mirrorArray);
    }

    private void Draw(ReadOnlySpan<Instance> instances)
    {
        _rows.Clear();
        foreach (ref readonly var i in instances)
        {
            _rows.Add(i.Rows);
        }

        _table.Fill<CasterRows>(_rows.Span);
        _table.Bind(Slots.SourceRows);
        var triangles = 0L;
        for (var first = 0; first < instances.Length;)
        {
            var after = first + 1;
            while (after < instances.Length && instances[after].Key == instances[first].Key && instances[after].Run == instances[first].Run)
            {
                after++;
            }

            triangles += Run(instances[first], first, after - first);
            if (after == instances.Length || instances[after].Key != instances[first].Key || triangles > TrianglesOfPart)
            {
                DrawingSteps.Part(_gl);
                triangles = 0;
            }

            first = after;
        }
    }

    /// <summary>Draws instances of one thing; returns the triangles of all.</summary>
    private long Run(in Instance of, int first, int count)
    {
        _program!.Set("first", first);
        if (of.Key < 0)
        {
            _gl.BindVertexArray(_mirrorArray);
            _gl.DrawArraysInstanced(PrimitiveType.TriangleFan, ~of.Key, (uint)of.Corners, (uint)count);
            return (long)of.Corners * count;
        }

        var part = _meshes[of.Key];
        var (from, indices) = of.Run == Whole ? (part.FirstIndex, part.IndexCount) : (part.Runs[of.Run].FirstIndex, part.Runs[of.Run].IndexCount);
        _gl.BindVertexArray(_meshArray);
        _gl.DrawElementsInstancedBaseVertex(
            PrimitiveType.Triangles, (uint)indices, DrawElementsType.UnsignedInt, (void*)(from * sizeof(uint)), (uint)count, part.FirstVertex);
        return indices / 3L * count;
    }

    /// <param name="Key">A mesh, or the complement of a mirror's first corner.</param>
    /// <param name="Run">Which of the mesh's runs, or <see cref="Whole"/>.</param>
    /// <param name="Corners">Of a mirror.</param>
    /// <param name="Rows">For the shader.</param>
    private readonly record struct Instance(int Key, int Run, int Corners, CasterRows Rows);

    [InlineArray(6)]
    private struct Sixfold
    {
        private Vector4 _first;
    }
}
