using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Sampling;

namespace StageView.Light.Mirrors;

/// <summary>
/// The share of all light from one direction that <see cref="Gloss"/> throws on: shine·A + B, linear in the shine because Schlick's Fresnel is. What is left
/// meets the albedo, so a surface throws back shares + (1 - shares) albedo, and never more than arrives.
/// </summary>
public static class GlossShares
{
    /// <summary>Values along the cosine (columns) and the root of the roughness (rows), evenly from 0 to 1.</summary>
    public const int Side = 32;

    private const int Points = 256;
    private static readonly Vector2[] Cells = Make();

    /// <summary>A and B of every cell, row by row.</summary>
    public static ReadOnlySpan<Vector2> Table => Cells;

    /// <summary>The share thrown on.</summary>
    /// <param name="cosine">Of the light's angle to the normal, 0 to 1.</param>
    /// <param name="shine">0 to <see cref="Gloss.MostShine"/>.</param>
    /// <param name="roughness"><see cref="Gloss.LeastRoughness"/> to 1.</param>
    public static float At(float cosine, float shine, float roughness)
    {
        var (x, y) = (Math.Clamp(cosine, 0, 1) * (Side - 1), MathF.Sqrt(Math.Clamp(roughness, 0, 1)) * (Side - 1));
        var (c, r) = (Math.Min((int)x, Side - 2), Math.Min((int)y, Side - 2));
        var low = Vector2.Lerp(Cells[(r * Side) + c], Cells[(r * Side) + c + 1], x - c);
        var high = Vector2.Lerp(Cells[((r + 1) * Side) + c], Cells[((r + 1) * Side) + c + 1], x - c);
        var ab = Vector2.Lerp(low, high, y - r);
        return (shine * ab.X) + ab.Y;
    }

    /// <summary>What meets the albedo of light that comes evenly from all sides: 1 - 2 ∫ shares cos d cos. 1 without shine.</summary>
    /// <param name="shine">0 to <see cref="Gloss.MostShine"/>.</param>
    /// <param name="roughness"><see cref="Gloss.LeastRoughness"/> to 1.</param>
    public static float Matt(float shine, float roughness)
    {
        if (shine <= 0)
        {
            return 1;
        }

        var (a, b) = Mean(roughness);
        return 1 - (shine * a) - b;
    }

    /// <summary>A and B of light that comes evenly from all sides: 2 ∫ A cos d cos and the same of B.</summary>
    /// <param name="roughness"><see cref="Gloss.LeastRoughness"/> to 1.</param>
    public static (float A, float B) Mean(float roughness)
    {
        var (a, b) = (0f, 0f);
        for (var i = 0; i < 2 * Side; i++)
        {
            var cosine = (i + 0.5f) / (2 * Side);
            var (none, full) = (At(cosine, 0, roughness), At(cosine, 1, roughness));
            a += cosine * (full - none) / Side;
            b += cosine * none / Side;
        }

        return (a, b);
    }

    private static Vector2[] Make()
    {
        var cells = new Vector2[Side * Side];
        for (var i = 0; i < cells.Length; i++)
        {
            var root = MathF.Max(0.01f, i / Side / (Side - 1f));
            cells[i] = Integrate(MathF.Max(1e-3f, i % Side / (Side - 1f)), root * root);
        }

        return cells;
    }

    /// <summary>Over facets as often as they are seen (E. Heitz, Journal of Computer Graphics Techniques 7(4), 2018).</summary>
    private static Vector2 Integrate(float cosine, float roughness)
    {
        var v = new Vector3(MathF.Sqrt(1 - (cosine * cosine)), 0, cosine);
        var stretched = Vector3.Normalize(new Vector3(roughness * v.X, 0, v.Z));
        var u = Vector3.UnitY;
        var w = Vector3.Cross(stretched, u);
        var square = roughness * roughness;
        var sum = Vector2.Zero;
        for (var i = 0; i < Points; i++)
        {
            var r = MathF.Sqrt(Sobol.At(i, 0) + (0.5f / Points));
            var (sin, cos) = Trig.SinCos(MathF.Tau * Sobol.At(i, 1));
            var (a, b) = (r * cos, r * sin);
            var s = 0.5f * (1 + stretched.Z);
            b = ((1 - s) * MathF.Sqrt(MathF.Max(0, 1 - (a * a)))) + (s * b);
            var n = (u * a) + (w * b) + (stretched * MathF.Sqrt(MathF.Max(0, 1 - (a * a) - (b * b))));
            var half = Vector3.Normalize(new Vector3(roughness * n.X, roughness * n.Y, MathF.Max(0, n.Z)));
            var facing = Vector3.Dot(half, v);
            var l = (2 * facing * half.Z) - v.Z;
            if (l <= 0 || facing <= 0)
            {
                continue;
            }

            // G2 / G1.
            var of = 1 + Lambda(cosine, square);
            var left = MathF.Pow(1 - facing, 5);
            var part = of / (of + Lambda(l, square));
            sum += new Vector2(part * (1 - left), part * left);
        }

        return sum / Points;
    }

    private static float Lambda(float cosine, float square) => (MathF.Sqrt(1 + (square * ((1 / (cosine * cosine)) - 1))) - 1) / 2;
}
