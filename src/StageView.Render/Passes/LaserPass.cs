using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary>Adds lasers: each leg as a line of light in the haze, each end as a spot on the surface it meets.</summary>
internal sealed class LaserPass : IDisposable
{
    private readonly GL _gl;
    private readonly Growing<LaserRows> _rows = new();
    private readonly GpuTable _table;
    private readonly uint _array;
    private GpuProgram? _lines;
    private GpuProgram? _spots;

    public LaserPass(GL gl)
    {
        _gl = gl;
        _table = new GpuTable(gl);
        _array = gl.GenVertexArray();
    }

    /// <summary>Once a frame, for all views.</summary>
    public void Prepare(Moment moment)
    {
        _rows.Clear();
        foreach (ref readonly var l in moment.Lasers.Span)
        {
            _rows.Add(new LaserRows
            {
                Origin = l.Origin,
                Length = l.Length,
                Direction = l.Direction,
                WayBefore = l.PathBefore,
                Flux = l.Colour * l.FluxLumens,
                Divergence = l.DivergenceRadians,
                Aperture = l.ApertureMetres,
            });
        }

        if (_rows.Count > 0)
        {
            _table.Fill<LaserRows>(_rows.Span);
        }
    }

    public void Draw(Moment moment, Targets targets)
    {
        if (_rows.Count == 0)
        {
            return;
        }

        PassState.AddLight(_gl, targets.Light);
        _gl.Disable(EnableCap.DepthTest);
        _gl.Disable(EnableCap.CullFace);
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        _table.Bind(Slots.SourceRows);
        _gl.BindVertexArray(_array);
        _spots ??= new GpuProgram(_gl, "laser.vert", "laser.frag", "SPOTS");
        _spots.Use();
        _gl.DrawArraysInstanced(PrimitiveType.TriangleStrip, 0, 4, (uint)_rows.Count);
        if (moment.Haze.ScatteringPerMetre > 0)
        {
            _lines ??= new GpuProgram(_gl, "laser.vert", "laser.frag");
            _lines.Use();
            _gl.DrawArraysInstanced(PrimitiveType.TriangleStrip, 0, 4, (uint)_rows.Count);
        }
    }

    public void Dispose()
    {
        _lines?.Dispose();
        _spots?.Dispose();
        _table.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
