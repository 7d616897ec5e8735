using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>Light that pixel surfaces throw on other surfaces, from blocks of their mean luminance. Unshaded; at a quarter of the resolution, or half of a small one, where a row of pixels is a long stretch of floor.</summary>
internal sealed class AreaLightPass(GL gl) : IDisposable
{
    /// <summary>Blocks at most; with more, those of most flux are kept.</summary>
    public const int Most = 192;

    private readonly List<Block> _blocks = [];
    private readonly Growing<Vector4> _rows = new();
    private readonly GpuTable _table = new(gl);
    private readonly uint _array = gl.GenVertexArray();
    private readonly Dictionary<(int Scale, bool Tiled), (GpuProgram Gather, GpuProgram Up)> _programs = [];
    private GpuTexture? _small;
    private Framebuffer? _target;

    public void Prepare(Moment moment)
    {
        _blocks.Clear();
        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            Add(moment, surface);
        }

        if (_blocks.Count > Most)
        {
            // Stable, so that frames repeat.
            var kept = _blocks.OrderByDescending(b => b.Flux).Take(Most).ToList();
            _blocks.Clear();
            _blocks.AddRange(kept);
        }

        _rows.Clear();
        foreach (var b in _blocks)
        {
            _rows.Add(new Vector4(b.Place, b.Area));
            _rows.Add(new Vector4(b.Front, b.Radius));
            _rows.Add(new Vector4(b.Luminance, 0));
        }

        if (_blocks.Count > 0)
        {
            _table.Fill(_rows.Span);
        }
    }

    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="tiled">In compute.</param>
    public void Draw(View view, Targets targets, bool tiled)
    {
        if (_blocks.Count == 0)
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
            _target = new Framebuffer(gl, null, _small);
        }

        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        var (x0, y0) = (Math.Max(0, (view.Area.X / scale) - 1), Math.Max(0, (view.Area.Y / scale) - 1));
        var (wide, high) = ((view.Area.Width / scale) + 4, (view.Area.Height / scale) + 4);
        programs.Gather.Use();
        programs.Gather.Set("sources", _blocks.Count);
        _table.Bind(Slots.SourceRows);
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

    public void Dispose()
    {
        foreach (var (gather, up) in _programs.Values)
        {
            gather.Dispose();
            up.Dispose();
        }

        _target?.Dispose();
        _small?.Dispose();
        _table.Dispose();
        gl.DeleteVertexArray(_array);
    }

    private void Add(Moment moment, in PixelSurface s)
    {
        if (s.Columns <= 0 || s.Rows <= 0)
        {
            return;
        }

        if (s.Shape == PixelShape.Globe)
        {
            // A lantern's light in the room is its beam's already; its globe is what one sees.
            foreach (ref readonly var beam in moment.Beams.Span)
            {
                if (beam.Bounces == 0 && beam.Profile.IsOmnidirectional && Vector3.DistanceSquared(beam.Apex, s.Origin) < 1e-4f)
                {
                    return;
                }
            }

            var radius = s.EdgeU.Length() / 2;
            Keep(new Block(s.Origin, Vector3.UnitZ, 4 * MathF.PI * radius * radius, radius, Mean(moment, s, 0, s.Columns, 0, s.Rows)));
            return;
        }

        // Blocks of half a metre or so, whole pixels each, eight a side at most.
        var across = Math.Clamp((int)MathF.Ceiling(s.EdgeU.Length() / 0.5f), 1, Math.Min(8, s.Columns));
        var down = Math.Clamp((int)MathF.Ceiling(s.EdgeV.Length() / 0.5f), 1, Math.Min(8, s.Rows));
        var area = Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
        for (var v = 0; v < down; v++)
        {
            var (r0, r1) = (v * s.Rows / down, (v + 1) * s.Rows / down);
            for (var u = 0; u < across; u++)
            {
                var (c0, c1) = (u * s.Columns / across, (u + 1) * s.Columns / across);
                var place = s.Origin + (s.EdgeU * ((c0 + c1) / 2f / s.Columns)) + (s.EdgeV * ((r0 + r1) / 2f / s.Rows));
                var share = (float)(c1 - c0) * (r1 - r0) / ((float)s.Columns * s.Rows);
                Keep(new Block(place, s.FrontNormal, area * share, 0, Mean(moment, s, c0, c1, r0, r1)));
            }
        }
    }

    private void Keep(in Block block)
    {
        if (block.Luminance != Vector3.Zero)
        {
            _blocks.Add(block);
        }
    }

    private static Vector3 Mean(Moment moment, in PixelSurface s, int c0, int c1, int r0, int r1)
    {
        var sum = Vector3.Zero;
        for (var r = r0; r < r1; r++)
        {
            foreach (var p in moment.Pixels.Span.Slice(s.FirstPixel + (r * s.Columns) + c0, c1 - c0))
            {
                sum += p;
            }
        }

        return sum / ((c1 - c0) * (r1 - r0));
    }

    private readonly record struct Block(Vector3 Place, Vector3 Front, float Area, float Radius, Vector3 Luminance)
    {
        public float Flux => Area * BeamPhotometry.Luminance(Luminance);
    }
}
