using System.Numerics;

namespace StageView.Stage.Content;

/// <summary>Means of a picture over the pixels of a surface that lies over it.</summary>
internal readonly struct PatchSampler
{
    // A pixel that lies askew to the content is cut into this many parts a side, each averaged over its own box.
    private const int PartsAskew = 4;

    private readonly Vector2 _corner, _right, _down;
    private readonly int _parts;

    /// <param name="corner">Of the surface, picture coordinates.</param>
    /// <param name="right">From a pixel to the next in its row.</param>
    /// <param name="down">From a row to the next.</param>
    /// <param name="size">The picture's width and height, in any unit: what counts as askew.</param>
    public PatchSampler(Vector2 corner, Vector2 right, Vector2 down, Vector2 size)
    {
        (_corner, _right, _down) = (corner, right, down);
        _parts = Askew(right, size) || Askew(down, size) ? PartsAskew : 1;
    }

    /// <summary>The picture's mean over a pixel.</summary>
    public Vector3 Mean(ContentImage image, int column, int row)
    {
        var corner = _corner + (_right * column) + (_down * row);
        var sum = Vector3.Zero;
        var (r, d) = (_right / _parts, _down / _parts);
        for (var j = 0; j < _parts; j++)
        {
            for (var i = 0; i < _parts; i++)
            {
                var from = corner + (r * i) + (d * j);
                var least = Vector2.Min(Vector2.Min(from, from + r), Vector2.Min(from + d, from + r + d));
                var most = Vector2.Max(Vector2.Max(from, from + r), Vector2.Max(from + d, from + r + d));
                sum += image.Mean(least.X, least.Y, most.X, most.Y);
            }
        }

        return sum / (_parts * _parts);
    }

    // More than a tenth off both axes of the content.
    private static bool Askew(Vector2 edge, Vector2 size)
    {
        var m = Vector2.Abs(edge * size);
        return MathF.Min(m.X, m.Y) > 0.1f * MathF.Max(m.X, m.Y);
    }
}
