using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Surfaces;

/// <summary>Pixel surfaces as sources of light: blocks of their mean luminance.</summary>
/// <param name="gl">Where the rows go.</param>
/// <param name="metres">How long a block's side may be, m.</param>
/// <param name="aSide">Blocks along a side of a surface at most.</param>
/// <param name="most">Blocks at most; more are merged by <see cref="SourceMerge"/>, so that no light is lost.</param>
internal sealed class PixelSources(GL gl, float metres, int aSide, int most) : IDisposable
{
    private List<SourceBlock> _blocks = [];
    private readonly Growing<SourceRows> _rows = new();
    private readonly GpuTable _table = new(gl);

    public int Count => _blocks.Count;

    public void Bind() => _table.Bind(Slots.SourceRows);

    /// <summary>Once a frame; asks nothing of OpenGL, so beside other work.</summary>
    public void Gather(Moment moment)
    {
        _blocks.Clear();
        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            Add(moment, surface);
        }

        if (_blocks.Count > most)
        {
            _blocks = SourceMerge.Into(_blocks, most);
        }

        _rows.Clear();
        foreach (var b in _blocks)
        {
            _rows.Add(new SourceRows { Place = b.Place, Area = b.Area, Front = b.Front, Radius = b.Radius, Luminance = b.Luminance });
        }
    }

    /// <summary>Hands over what was gathered.</summary>
    public void Upload()
    {
        if (_blocks.Count > 0)
        {
            _table.Fill<SourceRows>(_rows.Span);
        }
    }

    public void Dispose() => _table.Dispose();

    private void Add(Moment moment, in PixelSurface s)
    {
        if (s.Columns <= 0 || s.Rows <= 0)
        {
            return;
        }

        if (s.Shape == PixelShape.Globe)
        {
            // A globe's light in the room is its beam's already; its sphere is what one sees.
            foreach (ref readonly var beam in moment.Beams.Span)
            {
                if (beam.Bounces == 0 && beam.Profile.IsOmnidirectional && Vector3.DistanceSquared(beam.Apex, s.Origin) < 1e-4f)
                {
                    return;
                }
            }

            var radius = s.EdgeU.Length() / 2;
            Keep(new SourceBlock(s.Origin, Vector3.UnitZ, 4 * MathF.PI * radius * radius, radius, Mean(moment, s, 0, s.Columns, 0, s.Rows)));
            return;
        }

        // Whole pixels each.
        var across = Math.Clamp((int)MathF.Ceiling(s.EdgeU.Length() / metres), 1, Math.Min(aSide, s.Columns));
        var down = Math.Clamp((int)MathF.Ceiling(s.EdgeV.Length() / metres), 1, Math.Min(aSide, s.Rows));
        var area = Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
        for (var v = 0; v < down; v++)
        {
            var (r0, r1) = (v * s.Rows / down, (v + 1) * s.Rows / down);
            for (var u = 0; u < across; u++)
            {
                var (c0, c1) = (u * s.Columns / across, (u + 1) * s.Columns / across);
                var place = s.Origin + (s.EdgeU * ((c0 + c1) / 2f / s.Columns)) + (s.EdgeV * ((r0 + r1) / 2f / s.Rows));
                var share = (float)(c1 - c0) * (r1 - r0) / ((float)s.Columns * s.Rows);
                Keep(new SourceBlock(place, s.FrontNormal, area * share, 0, Mean(moment, s, c0, c1, r0, r1)));
            }
        }
    }

    private void Keep(in SourceBlock block)
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
}
