using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Surfaces;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Light that pixel surfaces throw on other surfaces, from blocks of their mean luminance. Unshaded; at a quarter of the resolution, or half of a small one,
/// where a row of pixels is a long stretch of floor.
/// </summary>
internal sealed class AreaLightPass(GL gl) : IDisposable
{
    /// <summary>Blocks at most; more are merged.</summary>
    public const int Most = 192;

    private readonly PixelSources _sources = new(gl, 0.5f, 8, Most);
    private readonly uint _array = gl.GenVertexArray();
    private readonly Dictionary<(int Scale, bool Tiled), (GpuProgram Gather, GpuProgram Up)> _programs = [];
    private GpuProgram? _thinned;
    private GpuTexture? _small;
    private FrameTarget? _target;

    /// <summary>What lights, once a frame; asks nothing of OpenGL.</summary>
    public void Gather(Moment moment) => _sources.Gather(moment);

    public void Upload() => _sources.Upload();

    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="tiled">In compute.</param>
    public void Draw(View view, Targets targets, bool tiled)
    {
        if (_sources.Count == 0)
        {
            return;
        }

        var scale = view.Height >= 700 ? 4 : 2;
        if (!_programs.TryGetValue((scale, tiled), out var programs))
        {
            _programs[(scale, tiled)] = programs = tiled
                ? (GpuProgram.Compute(gl, "tiled/arealight.comp", $"SCALE {scale}"), GpuProgram.Compute(gl, "tiled/areaup.comp", $"SCALE {scale}"))
                : (new GpuProgram(gl, "screen.vert", "arealight.frag", $"SCALE {scale}"), new GpuProgram(gl, "screen.vert", "areaup.frag", $"SCALE {scale}"));
        }

        var (width, height) = ((view.Width + scale - 1) / scale, (view.Height + scale - 1) / scale);
        if (_small is null || _small.Width != width || _small.Height != height)
        {
            _target?.Dispose();
            _small?.Dispose();
            _small = new GpuTexture(gl, InternalFormat.Rgba16f, width, height);
            _target = new FrameTarget(gl, null, _small);
        }

        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        var (x0, y0) = (Math.Max(0, (view.Area.X / scale) - 1), Math.Max(0, (view.Area.Y / scale) - 1));
        var (wide, high) = ((view.Area.Width / scale) + 4, (view.Area.Height / scale) + 4);
        programs.Gather.Use();
        programs.Gather.Set("sources", _sources.Count);
        _sources.Bind();
        if (tiled)
        {
            Kernel.Run(gl, programs.Gather, _small!, (x0, y0, wide, high));
            programs.Up.Use();
            _small!.Bind(Slots.HazeMap);
            Kernel.Run(gl, programs.Up, targets.Radiance, view.Area);
            return;
        }

        PassState.WholeScreen(gl, _target!);
        gl.Viewport(0, 0, (uint)width, (uint)height);
        gl.Scissor(x0, y0, (uint)wide, (uint)high);
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);

        gl.Viewport(0, 0, (uint)view.Width, (uint)view.Height);
        gl.Scissor(view.Area.X, view.Area.Y, (uint)view.Area.Width, (uint)view.Area.Height);
        PassState.AddLight(gl, targets.Light);
        gl.Disable(EnableCap.CullFace);
        gl.Disable(EnableCap.DepthTest);
        programs.Up.Use();
        _small!.Bind(Slots.HazeMap);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    /// <summary>Adds illuminance, thinned on its way to the eye, to the cells of <see cref="SurfaceLightPass"/>, which are entered.</summary>
    public void AddTo(Targets targets)
    {
        if (_sources.Count == 0)
        {
            return;
        }

        _thinned ??= new GpuProgram(gl, "screen.vert", "arealight.frag", $"SCALE {SurfaceLightPass.Scale}", "THINNED");
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Normal.Bind(Slots.NormalMap);
        _thinned.Use();
        _thinned.Set("sources", _sources.Count);
        _sources.Bind();
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    public void Dispose()
    {
        _thinned?.Dispose();
        foreach (var (gather, up) in _programs.Values)
        {
            gather.Dispose();
            up.Dispose();
        }

        _target?.Dispose();
        _small?.Dispose();
        _sources.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
