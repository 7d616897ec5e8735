using System.Numerics;

namespace StageView.Stage.Colour;

/// <summary>Levels of a fixture's colours for a chromaticity.</summary>
internal static class ColourSolver
{
    /// <summary>
    /// Brightest mix of emitters with a given chromaticity: maximise s with Σ lᵢEᵢ = s·target and 0 ≤ lᵢ ≤ 1. The best
    /// lies at a vertex: all but two levels at 0 or 1, so every such choice is tried. A colour outside the emitters'
    /// gamut is moved towards their full mix until it fits.
    /// </summary>
    /// <param name="emitters">XYZ of each at full; at most 8.</param>
    /// <param name="target">XYZ of the wanted chromaticity.</param>
    public static float[] Additive(IReadOnlyList<Vector3> emitters, Vector3 target)
    {
        var white = emitters.Aggregate(Vector3.Zero, (a, b) => a + b);
        white /= white.Y > 0 ? white.Y : 1;
        target /= target.Y > 0 ? target.Y : 1;
        for (var mix = 0; mix <= 20; mix++)
        {
            if (Brightest(emitters, Vector3.Lerp(target, white, mix / 20f)) is { } found)
            {
                return found;
            }
        }

        return [.. emitters.Select(_ => 1f)];
    }

    /// <summary>
    /// Insertions of cyan, magenta and yellow flags whose light comes nearest to a chromaticity (CIE 1976 u'v'), the brighter of near equals.
    /// </summary>
    public static Vector3 Subtractive(FlagColours flags, Vector3 target)
    {
        var wanted = Uv(target);
        var best = Vector3.Zero;
        var least = float.MaxValue;
        var centre = new Vector3(.5f);
        for (var reach = .5f; reach > .002f; reach *= .5f)
        {
            var around = reach == .5f ? centre : best;
            for (var i = 0; i < 343; i++)
            {
                var offset = (new Vector3(i % 7, i / 7 % 7, i / 49) - new Vector3(3)) / 3 * reach;
                var cmy = Vector3.Clamp(around + offset, Vector3.Zero, Vector3.One);
                var xyz = flags.Xyz(cmy.X, cmy.Y, cmy.Z, 0);
                var cost = Vector2.Distance(Uv(xyz), wanted) + (.004f * (1 - xyz.Y));
                if (cost < least)
                {
                    (least, best) = (cost, cmy);
                }
            }
        }

        return best;
    }

    private static float[]? Brightest(IReadOnlyList<Vector3> e, Vector3 target)
    {
        var n = e.Count;
        float[]? best = null;
        var most = 0f;
        for (var i = 0; i < n; i++)
        {
            for (var j = i + 1; j < n; j++)
            {
                var others = n - 2;
                for (var mask = 0; mask < 1 << others; mask++)
                {
                    var fixedSum = Vector3.Zero;
                    for (int k = 0, bit = 0; k < n; k++)
                    {
                        if (k != i && k != j)
                        {
                            fixedSum += (mask >> bit++ & 1) * e[k];
                        }
                    }

                    // li·Ei + lj·Ej - s·target = -fixed, by Cramer's rule.
                    var det = Vector3.Dot(e[i], Vector3.Cross(e[j], -target));
                    if (MathF.Abs(det) < 1e-9f)
                    {
                        continue;
                    }

                    var li = Vector3.Dot(-fixedSum, Vector3.Cross(e[j], -target)) / det;
                    var lj = Vector3.Dot(e[i], Vector3.Cross(-fixedSum, -target)) / det;
                    var s = Vector3.Dot(e[i], Vector3.Cross(e[j], -fixedSum)) / det;
                    if (s <= most || li < -1e-4f || li > 1.0001f || lj < -1e-4f || lj > 1.0001f)
                    {
                        continue;
                    }

                    most = s;
                    best = new float[n];
                    for (int k = 0, bit = 0; k < n; k++)
                    {
                        best[k] = k == i ? Math.Clamp(li, 0, 1) : k == j ? Math.Clamp(lj, 0, 1) : mask >> bit++ & 1;
                    }
                }
            }
        }

        return best;
    }

    /// <summary>CIE 1976 u'v'.</summary>
    public static Vector2 Uv(Vector3 xyz)
    {
        var d = xyz.X + (15 * xyz.Y) + (3 * xyz.Z);
        return d <= 0 ? Vector2.Zero : new Vector2(4 * xyz.X / d, 9 * xyz.Y / d);
    }
}
