using System.Runtime.InteropServices;
using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>
/// Which beams may be seen in which tile of 16 x 16 pixels of one view, for the haze and for surfaces, found in compute
/// (<c>shaders/tiled/</c>): outlines of the hulls, what the surfaces of a tile span, then a bit a hull. Hulls of one kind fill words of their own.
/// </summary>
internal sealed unsafe class TileLists(GL gl) : IDisposable
{
    /// <summary>Side of a tile, pixels; TILE in tiles.glsl.</summary>
    public const int Side = 16;

    private const int OutlineBytes = 64;
    private const int TileBytes = 32;
    private readonly GpuBuffer _hulls = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _corners = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _outlines = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _tiles = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _lists = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private Row[] _rows = [];
    private int _count;
    private readonly (int FirstWord, int Words)[] _kinds = new (int, int)[BeamHulls.Kinds];
    private (GpuProgram Outlines, GpuProgram Measure, GpuProgram Lists)? _programs;
    private (int X, int Y, int Width, int Height) _area;

    public int Across { get; private set; }

    public int Up { get; private set; }

    /// <summary>True when the view has no beam.</summary>
    public bool IsEmpty => _count == 0;

    /// <summary>Words of one kind's hulls; none where the view has none of it.</summary>
    public (int First, int Count) WordsOf(int kind) => _kinds[kind];

    /// <param name="hulls">The view's.</param>
    /// <param name="targets">With the view's surfaces drawn.</param>
    /// <param name="area">Pixels that are wanted.</param>
    public void Make(BeamHulls hulls, Targets targets, (int X, int Y, int Width, int Height) area)
    {
        _programs ??= (GpuProgram.Compute(gl, "tiled/outlines.comp"), GpuProgram.Compute(gl, "tiled/measure.comp"), GpuProgram.Compute(gl, "tiled/lists.comp"));
        Sort(hulls);
        if (IsEmpty)
        {
            return;
        }

        _area = area;
        Across = ((area.X + area.Width + Side - 1) / Side) - (area.X / Side);
        Up = ((area.Y + area.Height + Side - 1) / Side) - (area.Y / Side);
        var words = _count / 32;
        _hulls.Fill<Row>(_rows.AsSpan(0, _count));
        _corners.Fill<System.Numerics.Vector4>(hulls.Corners.Span);
        _outlines.Reserve(_count * OutlineBytes);
        _tiles.Reserve(Across * Up * TileBytes);
        _lists.Reserve(Across * Up * words * 2 * sizeof(uint));
        for (uint i = 0; i < 5; i++)
        {
            gl.BindBufferBase(BufferTargetARB.ShaderStorageBuffer, i, Buffer(i).Id);
        }

        targets.Distance.Bind(Slots.DistanceMap);
        var (outlines, measure, lists) = _programs.Value;
        Enter(outlines);
        gl.DispatchCompute((uint)(_count + 63) / 64, 1, 1);
        Enter(measure);
        gl.DispatchCompute((uint)Across, (uint)Up, 1);
        gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
        Enter(lists);
        gl.DispatchCompute((uint)((Across * Up) + 63) / 64, (uint)words, 1);
        gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
    }

    /// <summary>Uses a program that reads the lists.</summary>
    public void Enter(GpuProgram program)
    {
        program.Use();
        program.Set("grid", Across, Up, _count / 32, _count);
        program.Set("area", _area.X, _area.Y, _area.Width, _area.Height);
    }

    public void Dispose()
    {
        if (_programs is { } programs)
        {
            programs.Outlines.Dispose();
            programs.Measure.Dispose();
            programs.Lists.Dispose();
        }

        for (uint i = 0; i < 5; i++)
        {
            Buffer(i).Dispose();
        }
    }

    private GpuBuffer Buffer(uint binding) => binding switch
    {
        0 => _hulls,
        1 => _corners,
        2 => _outlines,
        3 => _tiles,
        _ => _lists,
    };

    private void Sort(BeamHulls hulls)
    {
        Span<int> next = stackalloc int[BeamHulls.Kinds];
        next.Clear();
        foreach (ref readonly var hull in hulls.Hulls.Span)
        {
            next[hull.Kind]++;
        }

        var words = 0;
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            _kinds[kind] = (words, (next[kind] + 31) / 32);
            next[kind] = words * 32;
            words += _kinds[kind].Words;
        }

        _count = words * 32;
        if (_rows.Length < _count)
        {
            _rows = new Row[_count * 2];
        }

        _rows.AsSpan(0, _count).Fill(new Row(0, 0, -1, 0));
        foreach (ref readonly var hull in hulls.Hulls.Span)
        {
            _rows[next[hull.Kind]++] = new Row(hull.FirstCorner, hull.Pairs, hull.Number, 0);
        }
    }

    /// <summary>std430, <c>Hull</c> in tiles.glsl.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private readonly record struct Row(int FirstCorner, int Pairs, int Beam, int Spare);
}
