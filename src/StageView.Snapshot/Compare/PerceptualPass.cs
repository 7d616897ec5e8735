using System.Runtime.Intrinsics;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// What an eye would tell apart: both pictures in linear light, blurred by a 5×5 binomial (an eye at arm's length does not
/// resolve the pixel; noise of ±1 level averages out), a little stray light added (a screen's black is not black), then
/// OKLab (Ottosson 2020) and the HyAB distance |ΔL| + √(Δa² + Δb²) (Abasi, Tehran and Fairchild 2020), the order of
/// steps being FLIP's (Andersson et al. 2020). Pixels that the edge test forgave count as unchanged.
/// </summary>
internal sealed class PerceptualPass
{
    /// <summary>Stray light on the screen, share of its white: 0.25 %, a dim room (common practice, no source).</summary>
    private const float Stray = 0.0025f;

    private const int Apron = 2;
    private const int Tile = BlockSums.Side + (2 * Apron);

    private static readonly float[] _linear = MakeLinear();

    private readonly FrameImage _before;
    private readonly FrameImage _after;
    private readonly ChangeMap _map;
    private readonly double _limit;
    private readonly float[][] _tiles = [.. Enumerable.Range(0, 6).Select(_ => new float[Tile * Tile])];
    private int _changed;
    private readonly float[] _spare = new float[Tile * Tile];

    public PerceptualPass(FrameImage before, FrameImage after, ChangeMap map, double limit) =>
        (_before, _after, _map, _limit) = (before, after, map, limit);

    /// <summary>Largest distance met.</summary>
    public double Largest { get; private set; }

    /// <summary>Marks the map anew by perception; returns how many pixels changed.</summary>
    public int Run(BlockSums sums)
    {
        _changed = 0;
        for (var row = 0; row < sums.Rows; row++)
        {
            for (var column = 0; column < sums.Columns; column++)
            {
                if (NearDifference(sums, column, row))
                {
                    Block(column * BlockSums.Side, row * BlockSums.Side);
                }
            }
        }

        return _changed;
    }

    private static bool NearDifference(BlockSums sums, int column, int row)
    {
        for (var v = Math.Max(0, row - 1); v <= Math.Min(sums.Rows - 1, row + 1); v++)
        {
            for (var u = Math.Max(0, column - 1); u <= Math.Min(sums.Columns - 1, column + 1); u++)
            {
                if (sums.Largest[(v * sums.Columns) + u] > 0)
                {
                    return true;
                }
            }
        }

        return false;
    }

    private void Block(int x0, int y0)
    {
        Fill(_before, null, x0, y0, 0);
        Fill(_after, _before, x0, y0, 3);
        foreach (var tile in _tiles)
        {
            Blur(tile);
        }

        Span<float> distances = stackalloc float[8];
        var (x1, y1) = (Math.Min(x0 + BlockSums.Side, _map.Width), Math.Min(y0 + BlockSums.Side, _map.Height));
        for (var y = y0; y < y1; y++)
        {
            for (var x = x0; x < x1; x += 8)
            {
                Distances(((y - y0 + Apron) * Tile) + x - x0 + Apron).CopyTo(distances);
                for (var k = 0; k < Math.Min(8, x1 - x); k++)
                {
                    Mark((y * _map.Width) + x + k, distances[k]);
                }
            }
        }
    }

    private void Mark(int at, float distance)
    {
        if (_map.Pixels[at] is PixelChange.Ignored or PixelChange.EdgeJitter)
        {
            return;
        }

        Largest = Math.Max(Largest, distance);
        _map.Pixels[at] = distance > _limit ? PixelChange.Changed : PixelChange.Same;
        _changed += distance > _limit ? 1 : 0;
    }

    private void Fill(FrameImage image, FrameImage? forgiven, int x0, int y0, int first)
    {
        for (var v = 0; v < Tile; v++)
        {
            var y = Math.Clamp(y0 + v - Apron, 0, image.Height - 1);
            for (var u = 0; u < Tile; u++)
            {
                var i = (y * image.Width) + Math.Clamp(x0 + u - Apron, 0, image.Width - 1);
                var from = forgiven is not null && _map.Pixels[i] == PixelChange.EdgeJitter ? forgiven.Rgba : image.Rgba;
                for (var c = 0; c < 3; c++)
                {
                    _tiles[first + c][(v * Tile) + u] = _linear[from[(4 * i) + c]];
                }
            }
        }
    }

    /// <summary>1 4 6 4 1 along rows, then along columns; the apron's outermost rows are left unfinished, nothing reads them.</summary>
    private void Blur(float[] tile)
    {
        for (var i = 2; i < tile.Length - 2; i++)
        {
            _spare[i] = (tile[i - 2] + tile[i + 2] + (4 * (tile[i - 1] + tile[i + 1])) + (6 * tile[i])) / 16;
        }

        for (var i = 2 * Tile; i < tile.Length - (2 * Tile); i++)
        {
            tile[i] = (_spare[i - (2 * Tile)] + _spare[i + (2 * Tile)] + (4 * (_spare[i - Tile] + _spare[i + Tile])) + (6 * _spare[i])) / 16;
        }
    }

    private Vector256<float> Distances(int at)
    {
        var (l0, a0, b0) = OkLab.From(Load(0, at), Load(1, at), Load(2, at));
        var (l1, a1, b1) = OkLab.From(Load(3, at), Load(4, at), Load(5, at));
        var (a, b) = (a1 - a0, b1 - b0);
        return Vector256.Abs(l1 - l0) + Vector256.Sqrt((a * a) + (b * b));
    }

    private Vector256<float> Load(int tile, int at) => Vector256.Create<float>(_tiles[tile].AsSpan(at, 8)) + Vector256.Create(Stray);

    private static float[] MakeLinear()
    {
        var table = new float[256];
        for (var i = 0; i < 256; i++)
        {
            table[i] = (float)SrgbLight.Of(i);
        }

        return table;
    }
}
