using System.Numerics;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Places of several in a line.</summary>
internal static class RowSpots
{
    /// <summary>One place at the origin where there is no row.</summary>
    public static IReadOnlyList<Vector3> Of(SourceNode? row)
    {
        if (row is not { Kind: SourceKind.Object })
        {
            return [Vector3.Zero];
        }

        var from = row.VectorOr("from", default);
        var to = row.VectorOr("to", default);
        var count = Math.Clamp(row.IntegerOr("count", 1), 1, 10_000);
        return [.. Enumerable.Range(0, count).Select(i => Vector3.Lerp(from, to, Share(i, count)))];
    }

    /// <summary>A single one stands in the middle.</summary>
    public static float Share(int i, int count) => count == 1 ? .5f : i / (float)(count - 1);
}
