using Silk.NET.OpenGL;
using StageView.Render.Beams;
using StageView.Render.Layout;
using StageView.Render.Plans;
using StageView.Render.Resources;
using StageView.Render.Settings;

namespace StageView.Render.Passes;

/// <summary>
/// What <see cref="SurfaceLightPass"/> and <see cref="HazePass"/> add, in compute: each tile of the picture runs through its own list
/// of beams, and a picture element is read and written once a kind of beam. The light's functions are the same GLSL. Views that lie side by side are worked
/// out together, step by step: a mirror's small view alone leaves most of a GPU idle.
/// </summary>
internal sealed class TiledLightPass(GL gl, ViewBlock block) : IDisposable
{
    /// <summary>Workgroups that keep a large GPU busy.</summary>
    private const int Groups = 32768;

    private const int MostShares = 8;


    /// <summary>What a band's shares may take, bytes: 256 MB, or less where the driver has smaller blocks.</summary>
    private readonly long _most = Math.Clamp(gl.GetInteger64(GLEnum.MaxShaderStorageBlockSize), 1 << 24, 256 << 20);
    private readonly TileLists _lists = new(gl);
    private readonly CoarseLight _coarse = new(gl);
    private readonly Dictionary<string, KindPrograms> _programs = [];
    private readonly Dictionary<int, GpuProgram> _sums = [];
    private readonly GpuBuffer _shares = new(gl, BufferTargetARB.ShaderStorageBuffer);
    private readonly List<Band> _bands = [];
    private (GpuProgram Outlines, GpuProgram Measure, GpuProgram Lists)? _finding;

    /// <summary>A new frame begins.</summary>
    public void Begin() => _lists.Begin();

    /// <summary>Finds the tiles' beams; after the views' surfaces are drawn.</summary>
    /// <param name="batch">Who looks: views that lie side by side.</param>
    /// <param name="hulls">A view's beams.</param>
    /// <param name="targets">Their surfaces.</param>
    /// <param name="hazeScale">At which the haze will be drawn.</param>
    public void Prepare(IReadOnlyList<ViewPlan> batch, Func<ViewPlan, BeamHulls> hulls, Targets targets, int hazeScale)
    {
        var (outlines, measure, lists) =
            _finding ??= (GpuProgram.Compute(gl, "tiled/outlines.comp"), GpuProgram.Compute(gl, "tiled/measure.comp"),
                GpuProgram.Compute(gl, "tiled/lists.comp"));
        // What is brought up from a fraction of the resolution asks a neighbour or two beyond the edge.
        _lists.Take(batch.Count, i => hulls(batch[i]), i => batch[i].View.Around(hazeScale > 1 ? 2 * hazeScale : 0));
        targets.Distance.Bind(Slots.DistanceMap);
        Each(batch, i => _lists.Measure(i, outlines, measure));
        gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
        Each(batch, i => _lists.Find(i, lists));
        gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
    }

    public void Surfaces(IReadOnlyList<ViewPlan> batch, Targets targets, bool shiny)
    {
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        Kernel.Image(gl, targets.Radiance);
        var programs = shiny ? Programs("shiny surfaces", "tiled/surfaces.comp", "SHINY") : Programs("surfaces", "tiled/surfaces.comp");
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            var any = false;
            for (var i = 0; i < batch.Count && BeamHulls.OnSurfaces(kind); i++)
            {
                var (first, words) = _lists[i].Kinds[kind];
                if (words > 0)
                {
                    var program = programs.Of(BeamHulls.SurfaceShader(kind));
                    block.Enter(batch[i]);
                    _lists.Enter(i, program);
                    program.Set("kind", first, words, 0, 0);
                    gl.DispatchCompute((uint)_lists[i].Across * 2, (uint)_lists[i].Up * 2, 1);
                    any = true;
                }
            }

            if (any)
            {
                Kernel.Written(gl);
            }
        }
    }

    /// <summary>In bands of tiles, so that the shares of a large picture need no more room than those of a small one; of small views many at a time.</summary>
    public void Haze(IReadOnlyList<ViewPlan> batch, Targets targets, RenderSettings settings, bool uneven)
    {
        var scale = settings.ScaleOfHaze;
        var side = Math.Min(8, TileGrid.Side / scale);
        var parts = TileGrid.Side / scale / side;
        // Few tiles leave a GPU idle: their lists are then worked through by several groups each.
        var groups = 1;
        for (var i = 0; i < batch.Count; i++)
        {
            groups += _lists[i].IsEmpty ? 0 : _lists[i].Across * _lists[i].Up * parts * parts;
        }

        var each = Math.Clamp(Groups / groups, 1, MostShares);
        var into = scale == 1 ? targets.Radiance : _coarse.Cells(batch[0].View, scale);
        var stretch = new Stretch(settings, uneven, side, parts, each, into);
        targets.Distance.Bind(Slots.DistanceMap);
        _bands.Clear();
        var bytes = 0L;
        for (var i = 0; i < batch.Count; i++)
        {
            var lists = _lists[i];
            var shares = 0;
            foreach (var kind in lists.Used)
            {
                shares += Math.Min(each, Words(lists, kind, settings));
            }

            if (shares == 0)
            {
                continue;
            }

            var across = lists.Across * parts * side;
            var row = (long)across * parts * side * shares * 16;
            var most = (int)Math.Clamp(_most / row, 1, lists.Up);
            for (var first = 0; first < lists.Up; first += most)
            {
                var rows = Math.Min(most, lists.Up - first);
                if (bytes + (row * rows) > _most)
                {
                    Run(batch, stretch, ref bytes);
                }

                _bands.Add(new Band(i, first, rows, across, shares, bytes, row * rows));
                bytes += ((row * rows) + TileLists.Aligned - 1) / TileLists.Aligned * TileLists.Aligned;
            }
        }

        Run(batch, stretch, ref bytes);
        if (scale == 1)
        {
            return;
        }

        for (var i = 0; i < batch.Count; i++)
        {
            var lists = _lists[i];
            if (lists.Used.Exists(kind => Words(lists, kind, settings) > 0))
            {
                block.Enter(batch[i]);
                _coarse.BringUp(batch[i].View, targets, scale);
            }
        }

        Kernel.Written(gl);
    }

    public void Dispose()
    {
        if (_finding is { } finding)
        {
            finding.Outlines.Dispose();
            finding.Measure.Dispose();
            finding.Lists.Dispose();
        }

        _lists.Dispose();
        _coarse.Dispose();
        foreach (var programs in _programs.Values)
        {
            programs.Dispose();
        }

        foreach (var program in _sums.Values)
        {
            program.Dispose();
        }

        _shares.Dispose();
    }

    private static int Words(TileLists.Lists lists, int kind, RenderSettings settings) =>
        BeamHulls.InHaze(kind, settings.LampShadowsInHaze) ? lists.Kinds[kind].Words : 0;

    private void Each(IReadOnlyList<ViewPlan> batch, Action<int> step)
    {
        for (var i = 0; i < batch.Count; i++)
        {
            if (!_lists[i].IsEmpty)
            {
                block.Enter(batch[i]);
                step(i);
            }
        }
    }

    private KindPrograms Programs(string name, string compute, params string[] defines)
    {
        if (!_programs.TryGetValue(name, out var programs))
        {
            _programs[name] = programs = new KindPrograms(kind => GpuProgram.Compute(gl, compute, ["TILED", .. defines, .. BeamPrograms.Defines(kind)]));
        }

        return programs;
    }

    /// <summary>Works out the bands gathered, each in a range of its own of the shares, and forgets them.</summary>
    private void Run(IReadOnlyList<ViewPlan> batch, in Stretch stretch, ref long bytes)
    {
        if (_bands.Count == 0)
        {
            return;
        }

        var (quality, scale) = (stretch.Settings.Quality, stretch.Settings.ScaleOfHaze);
        var (side, parts) = (stretch.Side, stretch.Parts);
        var programs = Programs($"{quality} {scale} {stretch.Uneven}", "tiled/haze.comp",
            [.. HazePass.Defines(quality, scale, stretch.Uneven), $"SIDE {side}", $"THREADS {side * side}"]);
        if (!_sums.TryGetValue(scale, out var sum))
        {
            _sums[scale] = sum = GpuProgram.Compute(gl, "tiled/sum.comp", $"HAZE_SCALE {scale}");
        }

        _shares.Reserve((int)bytes);
        Kernel.Image(gl, stretch.Into);
        foreach (var band in _bands)
        {
            var lists = _lists[band.View];
            block.Enter(batch[band.View]);
            gl.BindBufferRange(BufferTargetARB.ShaderStorageBuffer, (uint)TileBuffer.Shares, _shares.Id, (nint)band.Offset, (nuint)band.Bytes);
            var done = 0;
            foreach (var kind in lists.Used)
            {
                var words = Words(lists, kind, stretch.Settings);
                if (words == 0)
                {
                    continue;
                }

                var mine = Math.Min(stretch.Each, words);
                var program = programs.Of(kind);
                _lists.Enter(band.View, program);
                program.Set("kind", lists.Kinds[kind].First, words, done, 0);
                program.Set("band", band.First, band.Across, band.Rows * parts * side, band.Shares);
                gl.DispatchCompute((uint)(lists.Across * parts), (uint)(band.Rows * parts), (uint)mine);
                done += mine;
            }
        }

        gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
        foreach (var band in _bands)
        {
            gl.BindBufferRange(BufferTargetARB.ShaderStorageBuffer, (uint)TileBuffer.Shares, _shares.Id, (nint)band.Offset, (nuint)band.Bytes);
            _lists.Enter(band.View, sum);
            sum.Set("band", band.First, band.Across, band.Rows * parts * side, band.Shares);
            gl.DispatchCompute((uint)(band.Across + 7) / 8, (uint)((band.Rows * parts * side) + 7) / 8, 1);
        }

        Kernel.Written(gl);
        _bands.Clear();
        bytes = 0;
    }

    /// <summary>How a call of <see cref="Haze"/> works.</summary>
    /// <param name="Side">Cells a side of a workgroup.</param>
    /// <param name="Parts">Workgroups along a tile's side.</param>
    /// <param name="Each">Groups at most that share a list.</param>
    private readonly record struct Stretch(RenderSettings Settings, bool Uneven, int Side, int Parts, int Each, GpuTexture Into);

    /// <summary>Some rows of a view's tiles and where their shares lie.</summary>
    private readonly record struct Band(int View, int First, int Rows, int Across, int Shares, long Offset, long Bytes);
}
