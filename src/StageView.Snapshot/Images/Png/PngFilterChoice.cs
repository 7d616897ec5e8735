namespace StageView.Snapshot;

/// <summary>Filters a row and prices it by the sum of its bytes taken as signed (the heuristic of clause 12.7).</summary>
internal static class PngFilterChoice
{
    /// <returns>The cost; at least <paramref name="limit"/> when it was given up early.</returns>
    public static long Apply(int filter, ReadOnlySpan<byte> row, ReadOnlySpan<byte> above, int step, Span<byte> line, long limit)
    {
        line[0] = (byte)filter;
        long cost = 0;
        for (var i = 0; i < row.Length; i++)
        {
            var left = i >= step ? row[i - step] : 0;
            var guess = filter switch
            {
                PngFilters.Sub => left,
                PngFilters.Up => above[i],
                PngFilters.Average => (left + above[i]) >> 1,
                PngFilters.Paeth => PngFilters.Predict(left, above[i], i >= step ? above[i - step] : 0),
                _ => 0,
            };
            var value = (byte)(row[i] - guess);
            line[i + 1] = value;
            cost += Math.Abs((int)(sbyte)value);
            if (cost >= limit)
            {
                return cost;
            }
        }

        return cost;
    }
}
