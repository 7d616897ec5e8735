using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Surfaces;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Light of pixel surfaces that the haze scatters to the eye, from coarse blocks of their mean luminance. Unshaded; at an eighth of the resolution, or a
/// quarter of a small one.
/// </summary>
internal sealed class AreaHazePass(GL gl) : IDisposable
{
    private readonly PixelSources _sources = new(gl, 1, 4, 96);
    private readonly CoarseLight _coarse = new(gl);
    private readonly uint _array = gl.GenVertexArray();
    private readonly Dictionary<(int Scale, bool Uneven, bool Tiled), GpuProgram> _programs = [];

    /// <summary>What lights, once a frame; asks nothing of OpenGL.</summary>
    public void Gather(Moment moment) => _sources.Gather(moment);

    public void Upload() => _sources.Upload();

    /// <summary>Whether there is any.</summary>
    public bool IsAny => _sources.Count > 0;

    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="uneven">Haze in patches.</param>
    /// <param name="tiled">In compute.</param>
    public void Draw(View view, Targets targets, bool uneven, bool tiled)
    {
        if (_sources.Count == 0)
        {
            return;
        }

        var scale = view.Height >= 700 ? 8 : 4;
        if (tiled)
        {
            var program = Use(targets, scale, uneven, tiled);
            Kernel.Run(gl, program, _coarse.Cells(view, scale), CoarseLight.Small(view, scale));
        }
        else
        {
            _coarse.Enter(view, scale);
            _coarse.Whole(view, scale);
            AddTo(targets, uneven, scale);
        }

        _coarse.BringUp(view, targets, scale, tiled);
    }

    /// <summary>Adds the light to cells of <see cref="HazePass"/>, which are entered.</summary>
    public void AddTo(Targets targets, bool uneven, int scale)
    {
        if (_sources.Count > 0)
        {
            Use(targets, scale, uneven, false);
            gl.BindVertexArray(_array);
            gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
        }
    }

    private GpuProgram Use(Targets targets, int scale, bool uneven, bool tiled)
    {
        if (!_programs.TryGetValue((scale, uneven, tiled), out var program))
        {
            string[] defines = [$"HAZE_SCALE {scale}", uneven ? "UNEVEN" : "EVEN"];
            _programs[(scale, uneven, tiled)] =
                program = tiled ? GpuProgram.Compute(gl, "tiled/areahaze.comp", defines) : new GpuProgram(gl, "screen.vert", "areahaze.frag", defines);
        }

        targets.Distance.Bind(Slots.DistanceMap);
        program.Use();
        program.Set("sources", _sources.Count);
        _sources.Bind();
        return program;
    }

    public void Dispose()
    {
        foreach (var program in _programs.Values)
        {
            program.Dispose();
        }

        _sources.Dispose();
        _coarse.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
