namespace StageView.Show.Refocus;

/// <summary>
/// One way for each position of a fixture: those that stay nearest to the old values, and whose changes from one to the next stay nearest to the old changes,
/// so that fades keep their way round (the cheapest path through all candidates; Viterbi 1967, Bellman 1957).
/// </summary>
internal static class WayChoice
{
    /// <param name="positions">Positions of one fixture in order, each with its ways; those without any are passed over.</param>
    /// <returns>The way taken for each, or null.</returns>
    public static IReadOnlyList<Candidate?> Of(IReadOnlyList<(HeldPosition Position, IReadOnlyList<Candidate> Ways)> positions)
    {
        var solved = Enumerable.Range(0, positions.Count).Where(i => positions[i].Ways.Count > 0).ToList();
        var cost = new List<double[]>();
        var from = new List<int[]>();
        for (var i = 0; i < solved.Count; i++)
        {
            var (position, ways) = positions[solved[i]];
            var costs = new double[ways.Count];
            var back = new int[ways.Count];
            for (var w = 0; w < costs.Length; w++)
            {
                var way = ways[w];
                costs[w] = Math.Abs(way.Pan - position.Pan) + Math.Abs(way.Tilt - position.Tilt);
                if (i == 0)
                {
                    continue;
                }

                var (before, earlier) = positions[solved[i - 1]];
                var best = Enumerable.Range(0, earlier.Count).MinBy(v => cost[i - 1][v] + Turn(earlier[v], way, before, position));
                (back[w], costs[w]) = (best, costs[w] + cost[i - 1][best] + Turn(earlier[best], way, before, position));
            }

            cost.Add(costs);
            from.Add(back);
        }

        var taken = new Candidate?[positions.Count];
        for (int i = solved.Count - 1, w = i < 0 ? 0 : Array.IndexOf(cost[i], cost[i].Min()); i >= 0; w = from[i][w], i--)
        {
            taken[solved[i]] = positions[solved[i]].Ways[w];
        }

        return taken;

        static double Turn(Candidate a, Candidate b, HeldPosition x, HeldPosition y) =>
            Math.Abs(b.Pan - a.Pan - (y.Pan - x.Pan)) + Math.Abs(b.Tilt - a.Tilt - (y.Tilt - x.Tilt));
    }
}
