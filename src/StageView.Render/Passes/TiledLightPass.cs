using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>
/// What <see cref="SurfaceLightPass"/> and <see cref="HazePass"/> add, in compute: each tile of the picture runs through its own list
/// of beams, and a picture element is read and written once a kind of beam. The light's functions are the same GLSL.
/// </summary>
internal sealed class TiledLightPass(GL gl) : IDisposable
{
    private readonly TileLists _lists = new(gl);
    private readonly Dictionary<string, KindPrograms> _programs = [];
    private readonly Dictionary<int, GpuProgram> _up = [];
    private GpuTexture? _small;

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
        Run(Programs("surfaces", "tiled/surfaces.comp"), targets.Radiance, false);
    }

    public void Haze(View view, Targets targets, RenderSettings settings, bool uneven)
    {
        var scale = settings.ScaleOfHaze;
        var side = TileLists.Side / scale;
        var programs = Programs(
            $"{settings.Quality} {scale} {uneven}", "tiled/haze.comp", [.. HazePass.Defines(settings.Quality, scale, uneven), $"SIDE {side}", $"THREADS {side * side}"]);
        targets.Distance.Bind(Slots.DistanceMap);
        if (scale == 1)
        {
            Run(programs, targets.Radiance, false);
            return;
        }

        var (wide, high) = ((view.Width + scale - 1) / scale, (view.Height + scale - 1) / scale);
        if (_small is null || _small.Width != wide || _small.Height != high)
        {
            _small?.Dispose();
            _small = new GpuTexture(gl, InternalFormat.Rgba16f, wide, high);
        }

        if (!Run(programs, _small, true))
        {
            return;
        }

        if (!_up.TryGetValue(scale, out var up))
        {
            _up[scale] = up = GpuProgram.Compute(gl, "tiled/hazeup.comp", $"HAZE_SCALE {scale}");
        }

        up.Use();
        _small.Bind(Slots.HazeMap);
        Kernel.Run(gl, up, targets.Radiance, view.Area);
    }

    public void Dispose()
    {
        _lists.Dispose();
        _small?.Dispose();
        foreach (var programs in _programs.Values)
        {
            programs.Dispose();
        }

        foreach (var up in _up.Values)
        {
            up.Dispose();
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

    /// <summary>A dispatch a kind of beams; false where there are none.</summary>
    private bool Run(KindPrograms programs, GpuTexture image, bool over)
    {
        Kernel.Image(gl, image);
        var any = false;
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            var (first, words) = _lists.WordsOf(kind);
            if (words == 0)
            {
                continue;
            }

            var program = programs.Of(kind);
            _lists.Enter(program);
            program.Set("kind", first, words, over && !any ? 1 : 0, 0);
            gl.DispatchCompute((uint)_lists.Across, (uint)_lists.Up, 1);
            Kernel.Written(gl);
            any = true;
        }

        return any;
    }
}
