using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>
/// What <see cref="SurfaceLightPass"/> and <see cref="HazePass"/> add, in compute: each tile of the picture runs through its own list
/// of beams, and a picture element is read and written once a kind of beam. The light's functions are the same GLSL.
/// </summary>
internal sealed class TiledLightPass(GL gl) : IDisposable
{
    /// <summary>Workgroups that keep a large GPU busy.</summary>
    private const int Groups = 32768;

    private const int MostShares = 8;
    private const long MostBytes = 256 << 20;
    private readonly TileLists _lists = new(gl);
    private readonly CoarseLight _coarse = new(gl);
    private readonly Dictionary<string, KindPrograms> _programs = [];
    private readonly Dictionary<int, GpuProgram> _sums = [];
    private readonly GpuBuffer _shares = new(gl, BufferTargetARB.ShaderStorageBuffer);

    /// <summary>Finds the tiles' beams; once a view, after its surfaces are drawn.</summary>
    /// <param name="view">Who looks.</param>
    /// <param name="targets">Its surfaces.</param>
    /// <param name="hulls">Its beams.</param>
    /// <param name="hazeScale">At which the haze will be drawn.</param>
    public void Prepare(View view, Targets targets, BeamHulls hulls, int hazeScale)
    {
        var (x, y, width, height) = view.Area;
        if (hazeScale > 1)
        {
            // What is brought up from asks a neighbour or two beyond the edge.
            var more = 2 * hazeScale;
            var (x1, y1) = (Math.Min(view.Width, x + width + more), Math.Min(view.Height, y + height + more));
            (x, y) = (Math.Max(0, x - more), Math.Max(0, y - more));
            (width, height) = (x1 - x, y1 - y);
        }

        _lists.Make(hulls, targets, (x, y, width, height));
    }

    public void Surfaces(Targets targets)
    {
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        Kernel.Image(gl, targets.Radiance);
        var programs = Programs("surfaces", "tiled/surfaces.comp");
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            var (first, words) = _lists.WordsOf(kind);
            if (words > 0 && BeamHulls.OnSurfaces(kind))
            {
                var program = programs.Of(BeamHulls.SurfaceShader(kind));
                _lists.Enter(program);
                program.Set("kind", first, words, 0, 0);
                gl.DispatchCompute((uint)_lists.Across * 2, (uint)_lists.Up * 2, 1);
                Kernel.Written(gl);
            }
        }
    }

    public void Haze(View view, Targets targets, RenderSettings settings, bool uneven)
    {
        if (_lists.IsEmpty)
        {
            return;
        }

        var scale = settings.ScaleOfHaze;
        targets.Distance.Bind(Slots.DistanceMap);
        if (scale == 1)
        {
            Haze(settings, scale, uneven, targets.Radiance);
            return;
        }

        if (Haze(settings, scale, uneven, _coarse.Cells(view, scale)))
        {
            _coarse.BringUp(view, targets, scale, true);
        }
    }

    public void Dispose()
    {
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

    private KindPrograms Programs(string name, string compute, params string[] defines)
    {
        if (!_programs.TryGetValue(name, out var programs))
        {
            _programs[name] = programs = new KindPrograms(kind => GpuProgram.Compute(gl, compute, ["TILED", .. defines, .. BeamPrograms.Defines(kind)]));
        }

        return programs;
    }

    /// <summary>The haze in bands of tiles, so that the shares of a large picture need no more room than those of a small one. False where no beam lights it.</summary>
    private bool Haze(RenderSettings settings, int scale, bool uneven, GpuTexture into)
    {
        int Words(int kind) => BeamHulls.InHaze(kind, settings.LampShadowsInHaze) ? _lists.WordsOf(kind).Count : 0;
        var quality = settings.Quality;
        var side = Math.Min(8, TileLists.Side / scale);
        var parts = TileLists.Side / scale / side;
        var programs = Programs($"{quality} {scale} {uneven}", "tiled/haze.comp", [.. HazePass.Defines(quality, scale, uneven), $"SIDE {side}", $"THREADS {side * side}"]);
        if (!_sums.TryGetValue(scale, out var sum))
        {
            _sums[scale] = sum = GpuProgram.Compute(gl, "tiled/sum.comp", $"HAZE_SCALE {scale}");
        }

        // Few tiles leave a GPU idle: their lists are then worked through by several groups each.
        var groups = _lists.Across * _lists.Up * parts * parts;
        var each = Math.Clamp(Groups / groups, 1, MostShares);
        var shares = 0;
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            shares += Math.Min(each, Words(kind));
        }

        if (shares == 0)
        {
            return false;
        }

        var across = _lists.Across * parts * side;
        var rows = (int)Math.Clamp(MostBytes / ((long)across * parts * side * shares * 16), 1, _lists.Up);
        _shares.Reserve(across * rows * parts * side * shares * 16);
        gl.BindBufferBase(BufferTargetARB.ShaderStorageBuffer, 5, _shares.Id);
        Kernel.Image(gl, into);
        for (var first = 0; first < _lists.Up; first += rows)
        {
            var up = Math.Min(rows, _lists.Up - first);
            var done = 0;
            for (var kind = 0; kind < BeamHulls.Kinds; kind++)
            {
                var (word, words) = (_lists.WordsOf(kind).First, Words(kind));
                if (words == 0)
                {
                    continue;
                }

                var mine = Math.Min(each, words);
                var program = programs.Of(kind);
                _lists.Enter(program);
                program.Set("kind", word, words, done, 0);
                program.Set("band", first, across, up * parts * side, shares);
                gl.DispatchCompute((uint)(_lists.Across * parts), (uint)(up * parts), (uint)mine);
                done += mine;
            }

            gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
            _lists.Enter(sum);
            sum.Set("band", first, across, up * parts * side, shares);
            gl.DispatchCompute((uint)(across + 7) / 8, (uint)((up * parts * side) + 7) / 8, 1);
            gl.MemoryBarrier(MemoryBarrierMask.ShaderStorageBarrierBit);
        }

        Kernel.Written(gl);
        return true;
    }
}
