using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Light that the haze scatters more than once, from <see cref="HazeFill"/>'s cells as they look from the view's eye; at an eighth of the resolution, or a
/// quarter of a small one.
/// </summary>
internal sealed class HazeFillPass(GL gl) : IDisposable
{
    private readonly GpuTable _rows = new(gl);
    private readonly CoarseLight _coarse = new(gl);
    private readonly uint _array = gl.GenVertexArray();
    private readonly Dictionary<(int Scale, bool Tiled), GpuProgram> _programs = [];
    private HazeFill? _fill;

    /// <summary>Follows the moment's light, once a frame; asks nothing of OpenGL.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="left">Left out all the same.</param>
    public void Gather(Moment moment, bool left)
    {
        var flights = moment.Haze.Fill && !left ? HazeFlights.Of(moment, OcclusionScene.From(moment)) : null;
        _fill = flights is null ? null : new HazeFill(flights);
    }

    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="tiled">In compute.</param>
    public void Draw(View view, Targets targets, bool tiled)
    {
        if (_fill is not { } fill)
        {
            return;
        }

        _rows.Fill<Vector4>(fill.Towards(view.Eye));
        var scale = view.Height >= 700 ? 8 : 4;
        if (tiled)
        {
            var program = Use(fill, targets, scale, tiled);
            Kernel.Run(gl, program, _coarse.Cells(view, scale), CoarseLight.Small(view, scale));
        }
        else
        {
            _coarse.Enter(view, scale);
            _coarse.Whole(view, scale);
            Use(fill, targets, scale, tiled);
            gl.BindVertexArray(_array);
            gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
        }

        _coarse.BringUp(view, targets, scale, tiled);
    }

    public void Dispose()
    {
        foreach (var program in _programs.Values)
        {
            program.Dispose();
        }

        _rows.Dispose();
        _coarse.Dispose();
        gl.DeleteVertexArray(_array);
    }

    private GpuProgram Use(HazeFill fill, Targets targets, int scale, bool tiled)
    {
        if (!_programs.TryGetValue((scale, tiled), out var program))
        {
            var define = $"HAZE_SCALE {scale}";
            _programs[(scale, tiled)] = program = tiled ? GpuProgram.Compute(gl, "tiled/hazefill.comp", define)
                : new GpuProgram(gl, "screen.vert", "hazefill.frag", define);
        }

        targets.Distance.Bind(Slots.DistanceMap);
        program.Use();
        program.Set("fillCells", fill.Columns, fill.Across, fill.Layers, 0);
        program.Set("fillLow", fill.Low);
        program.Set("fillFineness", Vector3.One / fill.Cell);
        _rows.Bind(Slots.FillRows);
        return program;
    }
}
