using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Render.Beams;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary>
/// Which beams may be seen in which tile of 16 x 16 pixels of some views, for the haze and for surfaces, found in compute
/// (<c>shaders/tiled/</c>): outlines of the hulls, what the surfaces of a tile span, then a bit a hull. Hulls of one kind fill words of their own.
/// Views that lie side by side need no barrier between them, so the steps are asked for view by view.
/// </summary>
/// <remarks>
/// All views share each buffer, every one in a range of its own, and what is uploaded goes into a buffer that this frame has not used yet. With buffers of each
/// view's own, taken up again by a later view of the frame, a widespread driver lost beams: seen in the pictures, and gone when it was made to finish in
/// between.
/// </remarks>
internal sealed class TileLists(GL gl) : IDisposable
{
    /// <summary>The most that OpenGL may ask for between two ranges of a buffer, bytes.</summary>
    public const int Aligned = 256;

    /// <summary>Frames after which a buffer is filled again.</summary>
    private const int Rounds = 3;

    private static readonly int OutlineBytes = Marshal.SizeOf<HullOutline>();
    private static readonly int TileBytes = Marshal.SizeOf<TileSpan>();
    private static readonly int CornerBytes = Marshal.SizeOf<HullCorner>();
    private static readonly int RowBytes = Marshal.SizeOf<HullRow>();
    private readonly List<Upload>[] _uploads = [.. Enumerable.Range(0, Rounds).Select(_ => new List<Upload>())];
    private readonly GpuBuffer _outlines = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _tiles = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly GpuBuffer _lists = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly List<Lists> _views = [];
    private readonly Growing<HullRow> _rows = new();
    private readonly Growing<HullCorner> _corners = new();
    private int _round;
    private int _used;
    private int _count;
    private int _entered;

    /// <summary>Of each view, in the order given to <see cref="Take"/>.</summary>
    public Lists this[int view] => _views[view];

    /// <summary>A new frame begins.</summary>
    public void Begin() => (_round, _used) = ((_round + 1) % Rounds, 0);

    /// <summary>Takes some views' beams.</summary>
    /// <param name="views">How many.</param>
    /// <param name="hulls">A view's; asked for once, in order.</param>
    /// <param name="area">Pixels of it that are wanted.</param>
    public void Take(int views, Func<int, BeamHulls> hulls, Func<int, (int X, int Y, int Width, int Height)> area)
    {
        _rows.Clear();
        _corners.Clear();
        var (outlines, tiles, lists) = (0, 0, 0);
        (_count, _entered) = (views, -1);
        for (var i = 0; i < views; i++)
        {
            if (_views.Count == i)
            {
                _views.Add(new Lists());
            }

            var view = _views[i];
            view.Area = area(i);
            (view.FirstRow, view.FirstCorner) = (_rows.Count, _corners.Count);
            Sort(hulls(i), view);
            (view.Outlines, outlines) = Range(outlines, view.Count * OutlineBytes);
            (view.Tiles, tiles) = Range(tiles, view.Across * view.Up * TileBytes);
            (view.Words, lists) = Range(lists, view.Across * view.Up * (view.Count / 32) * 2 * sizeof(uint));
        }

        _outlines.Reserve(outlines);
        _tiles.Reserve(tiles);
        _lists.Reserve(lists);
        if (_uploads[_round].Count == _used)
        {
            _uploads[_round].Add(new Upload(new GpuBuffer(gl, BufferTargetARB.ShaderStorageBuffer), new GpuBuffer(gl, BufferTargetARB.ShaderStorageBuffer)));
        }

        var to = _uploads[_round][_used++];
        to.Hulls.Fill<HullRow>(_rows.Span);
        to.Corners.Fill<HullCorner>(_corners.Span);
    }

    /// <summary>First step, by two programs: outlines of a view's hulls, and what the surfaces drawn before span.</summary>
    public void Measure(int view, GpuProgram outlines, GpuProgram measure)
    {
        var v = _views[view];
        Enter(view, outlines);
        gl.DispatchCompute((uint)(v.Count + 63) / 64, 1, 1);
        Enter(view, measure);
        gl.DispatchCompute((uint)v.Across, (uint)v.Up, 1);
    }

    /// <summary>Second step, after a barrier for the first: the lists.</summary>
    public void Find(int view, GpuProgram lists)
    {
        var v = _views[view];
        Enter(view, lists);
        gl.DispatchCompute((uint)((v.Across * v.Up) + 63) / 64, (uint)(v.Count / 32), 1);
    }

    /// <summary>Uses a program that reads a view's lists, after a barrier for the second step.</summary>
    public void Enter(int view, GpuProgram program)
    {
        var v = _views[view];
        program.Use();
        program.Set("grid", v.Across, v.Up, v.Count / 32, v.Count);
        program.Set("area", v.Area.X, v.Area.Y, v.Area.Width, v.Area.Height);
        if (_entered == view)
        {
            return;
        }

        _entered = view;
        var after = view + 1 < _count ? _views[view + 1] : null;
        var from = _uploads[_round][_used - 1];
        Bind(TileBuffer.Hulls, from.Hulls, v.FirstRow * RowBytes, ((after?.FirstRow ?? _rows.Count) - v.FirstRow) * RowBytes);
        Bind(TileBuffer.Corners, from.Corners, v.FirstCorner * CornerBytes, ((after?.FirstCorner ?? _corners.Count) - v.FirstCorner) * CornerBytes);
        Bind(TileBuffer.Outlines, _outlines, v.Outlines, v.Count * OutlineBytes);
        Bind(TileBuffer.Tiles, _tiles, v.Tiles, v.Across * v.Up * TileBytes);
        Bind(TileBuffer.Lists, _lists, v.Words, v.Across * v.Up * (v.Count / 32) * 2 * sizeof(uint));
    }

    public void Dispose()
    {
        foreach (var upload in _uploads.SelectMany(u => u))
        {
            upload.Hulls.Dispose();
            upload.Corners.Dispose();
        }

        _outlines.Dispose();
        _tiles.Dispose();
        _lists.Dispose();
    }

    private static (int First, int After) Range(int first, int bytes) => (first, first + ((bytes + Aligned - 1) / Aligned * Aligned));

    private void Bind(TileBuffer slot, GpuBuffer buffer, int first, int bytes) =>
        gl.BindBufferRange(BufferTargetARB.ShaderStorageBuffer, (uint)slot, buffer.Id, first, (nuint)bytes);

    private void Sort(BeamHulls hulls, Lists view)
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
            view.Kinds[kind] = (words, (next[kind] + 31) / 32);
            next[kind] = words * 32;
            words += view.Kinds[kind].Words;
        }

        view.Used.Clear();
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (view.Kinds[kind].Words > 0)
            {
                view.Used.Add(kind);
            }
        }

        view.Count = words * 32;
        var rows = _rows.AddMany(view.Count);
        rows.Fill(new HullRow(0, 0, -1, 0));
        foreach (ref readonly var hull in hulls.Hulls.Span)
        {
            rows[next[hull.Kind]++] = new HullRow((uint)hull.FirstCorner, (uint)hull.Pairs, hull.Number, 0);
        }

        // A range begins at a multiple of 256 bytes, and none is empty: hulls all over the picture have no corners.
        var corners = Aligned / CornerBytes;
        var given = hulls.Corners.Span;
        given.CopyTo(_corners.AddMany(Math.Max(1, (given.Length + corners - 1) / corners) * corners));
    }

    /// <summary>One view's.</summary>
    internal sealed class Lists
    {
        /// <summary>Of each kind's hulls, first and number.</summary>
        public (int First, int Words)[] Kinds { get; } = new (int, int)[BeamHulls.Kinds];

        /// <summary>Kinds that the view has hulls of.</summary>
        public List<int> Used { get; } = [];

        public (int X, int Y, int Width, int Height) Area { get; set; }

        /// <summary>Tiles beside each other.</summary>
        public int Across => ((Area.X + Area.Width + TileGrid.Side - 1) / TileGrid.Side) - (Area.X / TileGrid.Side);

        /// <summary>Rows of tiles.</summary>
        public int Up => ((Area.Y + Area.Height + TileGrid.Side - 1) / TileGrid.Side) - (Area.Y / TileGrid.Side);

        /// <summary>Places for hulls, 32 a word.</summary>
        public int Count { get; set; }

        /// <summary>True when the view has no beam.</summary>
        public bool IsEmpty => Count == 0;

        public int FirstRow { get; set; }

        public int FirstCorner { get; set; }

        /// <summary>Where its ranges of the buffers begin, bytes.</summary>
        public int Outlines { get; set; }

        /// <inheritdoc cref="Outlines"/>
        public int Tiles { get; set; }

        /// <inheritdoc cref="Outlines"/>
        public int Words { get; set; }
    }

    private readonly record struct Upload(GpuBuffer Hulls, GpuBuffer Corners);
}
