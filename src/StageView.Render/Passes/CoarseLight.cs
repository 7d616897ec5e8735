using Silk.NET.OpenGL;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>Light at a fraction of the resolution, brought up after with an eye to what lies behind it.</summary>
/// <param name="gl">The context.</param>
/// <param name="onSurfaces">Light on surfaces, by their planes and on their albedo, instead of light in the haze, by their distance.</param>
internal sealed class CoarseLight(GL gl, bool onSurfaces = false) : IDisposable
{
    private readonly Dictionary<(int Scale, int To, bool Tiled, bool Guided), GpuProgram> _up = [];
    private readonly Dictionary<int, GpuProgram> _distances = [];
    private readonly uint _array = gl.GenVertexArray();
    private GpuTexture? _small;
    private FrameTarget? _smallTarget;
    private GpuTexture? _depth;
    private bool _isGuided;

    /// <summary>The cells that a view needs.</summary>
    public static (int X, int Y, int Width, int Height) Small(View view, int scale) => Small(view.Area, scale);

    private static (int X, int Y, int Width, int Height) Small((int X, int Y, int Width, int Height) area, int scale)
    {
        var (x, y) = (Math.Max(0, (area.X / scale) - 1), Math.Max(0, (area.Y / scale) - 1));
        var (x1, y1) = (((area.X + area.Width) / scale) + 2, ((area.Y + area.Height) / scale) + 2);
        return (x, y, x1 - x, y1 - y);
    }

    /// <summary>The cells that are filled: where they are brought up onto finer cells, those around the view's own are asked for, too.</summary>
    private (int X, int Y, int Width, int Height) Filled(View view, int scale) => Small(_isGuided ? view.Around(2 * scale) : view.Area, scale);

    /// <summary>
    /// The small picture, a cell for each <paramref name="scale"/> x <paramref name="scale"/> pixels, for compute to write: once, so 16 bits do.
    /// </summary>
    public GpuTexture Cells(View view, int scale) => Cells(view, scale, InternalFormat.Rgba16f);

    private GpuTexture Cells(View view, int scale, InternalFormat format)
    {
        var (width, height) = ((view.Width + scale - 1) / scale, (view.Height + scale - 1) / scale);
        if (_small is null || _small.Width != width || _small.Height != height || _small.Format != format)
        {
            _smallTarget?.Dispose();
            _small?.Dispose();
            _depth?.Dispose();
            _small = new GpuTexture(gl, format, width, height);
            _depth = onSurfaces ? new GpuTexture(gl, InternalFormat.DepthComponent32f, width, height) : null;
            _smallTarget = new FrameTarget(gl, _depth, _small);
        }

        return _small;
    }

    /// <summary>Clears the small picture and sets it up for adding light by fragments.</summary>
    /// <param name="view">Who looks.</param>
    /// <param name="scale">Pixels a cell.</param>
    /// <param name="guide">Distances that each cell keeps beside its light, so that bringing up asks once for both; null for none.</param>
    public void Enter(View view, int scale, GpuTexture? guide = null)
    {
        // Hundreds of beams are added one by one: in 16 bits, which some drivers cut off, that loses up to 2 % of the light.
        Cells(view, scale, InternalFormat.Rgba32f);
        _isGuided = guide is not null;
        if (guide is not null)
        {
            Whole(view, scale);
            gl.Disable(EnableCap.Blend);
            guide.Bind(Slots.DistanceMap);
            Distances(scale).Use();
            gl.BindVertexArray(_array);
            gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
        }

        PassState.AddLight(gl, _smallTarget!);
        // So that a cell is covered where its ray, through the middle of its middle pixel, goes.
        gl.ViewportIndexed(0, -0.5f / scale, -0.5f / scale, view.Width / (float)scale, view.Height / (float)scale);
        var area = Filled(view, scale);
        gl.Scissor(area.X, area.Y, (uint)area.Width, (uint)area.Height);
        if (guide is null)
        {
            ReadOnlySpan<float> black = [0, 0, 0, 0];
            gl.ClearBuffer(BufferKind.Color, 0, black);
        }
    }

    /// <summary>The depth of each cell's middle pixel, after <see cref="Enter"/>, so that what lies behind a surface is left out before a fragment is
    /// made.</summary>
    public void TakeDepth(View view, Targets targets, int scale)
    {
        var (x, y, width, height) = Filled(view, scale);
        ReadOnlySpan<float> near = [0];
        gl.DepthMask(true);
        gl.ClearBuffer(BufferKind.Depth, 0, near);
        gl.DepthMask(false);
        gl.BindFramebuffer(FramebufferTarget.ReadFramebuffer, targets.Light.Id);
        gl.BlitFramebuffer(x * scale, y * scale, (x + width) * scale, (y + height) * scale, x, y, x + width, y + height, ClearBufferMask.DepthBufferBit,
            BlitFramebufferFilter.Nearest);
    }

    /// <summary>Adds what was worked out to the radiance of a view of a batch, in compute; <see cref="Kernel.Written"/> has to follow the last.</summary>
    public void BringUp(View view, Targets targets, int scale)
    {
        var program = Program(scale, 1, true);
        program.Use();
        _small!.Bind(Slots.HazeMap);
        Kernel.Start(gl, program, targets.Radiance, view.Area);
    }

    /// <summary>Adds what was drawn to the view's radiance.</summary>
    public void BringUp(View view, Targets targets, int scale, bool tiled)
    {
        if (tiled)
        {
            BringUp(view, targets, scale);
            Kernel.Written(gl);
            return;
        }

        gl.Viewport(0, 0, (uint)view.Width, (uint)view.Height);
        gl.Scissor(view.Area.X, view.Area.Y, (uint)view.Area.Width, (uint)view.Area.Height);
        PassState.AddLight(gl, targets.Light);
        Draw(Program(scale, 1, false));
    }

    /// <summary>Adds what was drawn to a finer one, which was entered before.</summary>
    public void BringUp(View view, int scale, CoarseLight finer, int to)
    {
        finer.Whole(view, to);
        Draw(Program(scale, to, false));
    }

    /// <summary>After <see cref="Enter"/>: every cell that the view needs, for light that is added to all of them.</summary>
    public void Whole(View view, int scale)
    {
        gl.Viewport(0, 0, (uint)_small!.Width, (uint)_small.Height);
        var area = Filled(view, scale);
        gl.Scissor(area.X, area.Y, (uint)area.Width, (uint)area.Height);
        PassState.AddLight(gl, _smallTarget!);
        gl.Disable(EnableCap.CullFace);
        gl.Disable(EnableCap.DepthTest);
    }

    private void Draw(GpuProgram program)
    {
        gl.Disable(EnableCap.CullFace);
        gl.Disable(EnableCap.DepthTest);
        program.Use();
        _small!.Bind(Slots.HazeMap);
        gl.BindVertexArray(_array);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    private GpuProgram Distances(int scale) =>
        _distances.TryGetValue(scale, out var program) ? program
            : _distances[scale] = new GpuProgram(gl, "screen.vert", "celldistance.frag", $"SCALE {scale}");

    private GpuProgram Program(int scale, int to, bool tiled)
    {
        if (!_up.TryGetValue((scale, to, tiled, !tiled && _isGuided), out var program))
        {
            string[] defines = [$"{(onSurfaces ? "SCALE" : "HAZE_SCALE")} {scale}", $"TO {to}", !tiled && _isGuided ? "GUIDED" : "UNGUIDED"];
            _up[(scale, to, tiled, !tiled && _isGuided)] = program = tiled ? GpuProgram.Compute(gl, "tiled/hazeup.comp", defines)
                : new GpuProgram(gl, "screen.vert", onSurfaces ? "surfaceup.frag" : "hazeup.frag", defines);
        }

        return program;
    }

    public void Dispose()
    {
        foreach (var up in _up.Values)
        {
            up.Dispose();
        }

        foreach (var distances in _distances.Values)
        {
            distances.Dispose();
        }

        _smallTarget?.Dispose();
        _small?.Dispose();
        _depth?.Dispose();
        gl.DeleteVertexArray(_array);
    }
}
