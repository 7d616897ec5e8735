using System.Numerics;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Surfaces;

/// <summary>
/// The moment's pixel surfaces as rows for <c>pixels.vert</c> and <c>pixels.frag</c>. Each grid is followed by its halvings (mean
/// of up to 2 × 2), so that a far surface costs a few reads and shows its true mean.
/// </summary>
internal sealed class PixelTable
{
    private readonly Growing<Vector4> _pixels = new();
    private readonly Growing<SurfaceRows> _flats = new();
    private readonly Growing<SurfaceRows> _globes = new();

    public ReadOnlySpan<Vector4> Pixels => _pixels.Span;

    public ReadOnlySpan<SurfaceRows> Flats => _flats.Span;

    public ReadOnlySpan<SurfaceRows> Globes => _globes.Span;

    public void Fill(Moment moment)
    {
        _pixels.Clear();
        _flats.Clear();
        _globes.Clear();
        var all = moment.Pixels.Span;
        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            var first = _pixels.Count;
            foreach (var p in all.Slice(s.FirstPixel, s.Columns * s.Rows))
            {
                _pixels.Add(new Vector4(p, 0));
            }

            var levels = AddLevels(first, s.Columns, s.Rows);
            var globe = s.Shape == PixelShape.Globe;
            (globe ? _globes : _flats).Add(new SurfaceRows
            {
                Origin = s.Origin,
                Radius = globe ? s.EdgeU.Length() / 2 : 0,
                EdgeU = s.EdgeU,
                Columns = s.Columns,
                EdgeV = s.EdgeV,
                Rows = s.Rows,
                FirstPixel = first,
                Fill = globe ? 1 : Math.Clamp(s.Fill, 0, 1),
                Levels = levels,
            });
        }
    }

    private int AddLevels(int first, int columns, int rows)
    {
        var levels = 1;
        var (offset, w, h) = (first, columns, rows);
        while (w > 1 || h > 1)
        {
            var (nw, nh) = ((w + 1) / 2, (h + 1) / 2);
            var next = _pixels.Count;
            for (var y = 0; y < nh; y++)
            {
                for (var x = 0; x < nw; x++)
                {
                    // An odd edge repeats its last cell, so that a cell of the next level is the mean of what it covers.
                    var (x1, y1) = (Math.Min((2 * x) + 1, w - 1), Math.Min((2 * y) + 1, h - 1));
                    var sum = _pixels.Span[offset + (2 * y * w) + (2 * x)] + _pixels.Span[offset + (2 * y * w) + x1]
                        + _pixels.Span[offset + (y1 * w) + (2 * x)] + _pixels.Span[offset + (y1 * w) + x1];
                    _pixels.Add(sum / 4);
                }
            }

            (offset, w, h) = (next, nw, nh);
            levels++;
        }

        return levels;
    }
}
