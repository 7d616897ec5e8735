using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Light.Measure;

/// <summary>Running sums over a surface's pixels, so that the mean of any block costs four look-ups.</summary>
internal sealed class SurfaceSums
{
    private readonly Vector3[] _sums;
    private readonly int _columns;

    public SurfaceSums(in PixelSurface surface, ReadOnlySpan<Vector3> pixels)
    {
        _columns = surface.Columns;
        _sums = new Vector3[(surface.Columns + 1) * (surface.Rows + 1)];
        for (var r = 0; r < surface.Rows; r++)
        {
            var row = Vector3.Zero;
            for (var c = 0; c < surface.Columns; c++)
            {
                row += pixels[surface.FirstPixel + (r * surface.Columns) + c];
                _sums[((r + 1) * (_columns + 1)) + c + 1] = _sums[(r * (_columns + 1)) + c + 1] + row;
            }
        }

        Total = _sums[^1];
    }

    public Vector3 Total { get; }

    /// <summary>Mean luminance of columns c0 to below c1 and rows r0 to below r1.</summary>
    public Vector3 Mean(int c0, int c1, int r0, int r1)
    {
        var w = _columns + 1;
        var sum = _sums[(r1 * w) + c1] - _sums[(r0 * w) + c1] - _sums[(r1 * w) + c0] + _sums[(r0 * w) + c0];
        return sum / ((c1 - c0) * (r1 - r0));
    }
}
