namespace StageView.Rig.Profiles;

/// <param name="From">Share of the DMX range from which the piece holds.</param>
/// <param name="C0">Coefficient of (x - From)⁰.</param>
/// <param name="C1">Coefficient of x - From.</param>
/// <param name="C2">Coefficient of (x - From)².</param>
/// <param name="C3">Coefficient of (x - From)³.</param>
public readonly record struct CubicPiece(float From, float C0, float C1, float C2, float C3)
{
    public float At(float x)
    {
        var d = x - From;
        return C0 + (d * (C1 + (d * (C2 + (d * C3)))));
    }
}

/// <summary>
/// A response in cubic pieces (DIN SPEC 15800, DMX profile): share of the DMX range to share of the physical range, each 0 to 1; 0 before the first piece.
/// </summary>
public sealed class CubicCurve
{
    private const int Steps = 512;
    private readonly CubicPiece[] _pieces;

    public CubicCurve(IEnumerable<CubicPiece> pieces) => _pieces = [.. pieces.OrderBy(p => p.From)];

    public IReadOnlyList<CubicPiece> Pieces => _pieces;

    public float At(float x)
    {
        var value = 0f;
        foreach (var p in _pieces)
        {
            if (p.From > x)
            {
                break;
            }

            value = p.At(x);
        }

        return Math.Clamp(value, 0, 1);
    }

    /// <summary>The lowest x that gives <paramref name="y"/>, or comes nearest to it.</summary>
    public float Inverse(float y)
    {
        float best = 0, least = float.MaxValue, before = At(0);
        for (var i = 0; i <= Steps; i++)
        {
            var x = i / (float)Steps;
            var here = At(x);
            if (i > 0 && (before - y) * (here - y) < 0)
            {
                return Bisect(x - (1f / Steps), x, y, rising: here > before);
            }

            if (MathF.Abs(here - y) < least)
            {
                (best, least) = (x, MathF.Abs(here - y));
            }

            before = here;
        }

        return best;
    }

    private float Bisect(float low, float high, float y, bool rising)
    {
        for (var i = 0; i < 24; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = At(middle) < y == rising ? (middle, high) : (low, middle);
        }

        return high;
    }
}
