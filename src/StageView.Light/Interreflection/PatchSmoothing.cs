using System.Numerics;

namespace StageView.Light.Interreflection;

/// <summary>
/// Takes the grain of few rays out of what a picture shows: patches side by side on one piece exchange light, so that its mean stays to the last lumen. What
/// differs by far more than grain is a shadow's edge and exchanges little.
/// </summary>
internal static class PatchSmoothing
{
    /// <summary>How far light spreads about (standard deviation), m.</summary>
    private const float Reach = 0.6f;

    /// <summary>Share of a difference that goes to a neighbour in a round; with four of them it stays stable below 1/4.</summary>
    private const float Share = 0.2f;

    /// <summary>Difference over mean at which half of it goes.</summary>
    private const float Grain = 0.5f;

    private const int MostRounds = 16;

    /// <summary>The values of all patches, lx, smoothed.</summary>
    public static Vector3[] Of(PatchMap patches, PatchLinks links, ReadOnlySpan<Vector3> lux)
    {
        var smooth = lux.ToArray();
        foreach (var grid in patches.Grids)
        {
            if (grid is { } g)
            {
                Of(g, patches, links, smooth.AsSpan(g.First, g.Shape.Count));
            }
        }

        return smooth;
    }

    private static void Of(in PatchGrid grid, PatchMap patches, PatchLinks links, Span<Vector3> lux)
    {
        var cell = MathF.Max(grid.Shape.Cell.X, MathF.Max(grid.Shape.Cell.Y, grid.Shape.Cell.Z));
        var rounds = Math.Clamp((int)MathF.Round(Reach * Reach / (2 * Share * cell * cell)), 1, MostRounds);
        var areas = patches.Areas.Slice(grid.First, lux.Length);
        var gained = new Vector3[lux.Length];
        for (var round = 0; round < rounds; round++)
        {
            Array.Clear(gained);
            foreach (var (a, b) in grid.Shape.Neighbours)
            {
                if (links.IsCovered(grid.First + a) || links.IsCovered(grid.First + b))
                {
                    continue;
                }

                var more = lux[b] - lux[a];
                var (difference, sum) = (Vector3.Dot(more, Vector3.One), Vector3.Dot(lux[a] + lux[b], Vector3.One));
                var relative = sum > 0 ? 2 * difference / sum / Grain : 0;
                var flow = more * (float)(Share / (1 + (relative * relative)) * Math.Min(areas[a], areas[b]));
                gained[a] += flow / (float)areas[a];
                gained[b] -= flow / (float)areas[b];
            }

            for (var i = 0; i < lux.Length; i++)
            {
                lux[i] += gained[i];
            }
        }
    }
}
