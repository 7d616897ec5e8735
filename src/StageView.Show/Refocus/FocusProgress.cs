namespace StageView.Show.Refocus;

/// <summary>Which positions are ticked, and which ticks count no longer.</summary>
public sealed class FocusProgress
{
    /// <summary>What a position is for may be guessed so far from where it was guessed before, m; the values decide whether a tick counts.</summary>
    private const float Near = .5f;

    private readonly Dictionary<int, (FocusTick Tick, string Changed)> _ticks = [];

    /// <param name="result">The answer.</param>
    /// <param name="ticks">What was ticked, in any venue's state of the answer.</param>
    public FocusProgress(RefocusResult result, IEnumerable<FocusTick> ticks)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(ticks);
        var rows = result.Answer.Rows;
        var fixtures = result.After.Fixtures.GroupBy(f => f.Name, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);
        var byFixture = Enumerable.Range(0, rows.Count).ToLookup(i => rows[i].Fixture, StringComparer.Ordinal);
        var left = new List<FocusTick>();

        // A fixture may have two positions on one thing: the nearest pairs are taken first, and each tick is one position's.
        foreach (var all in ticks.GroupBy(t => t.Fixture, StringComparer.Ordinal))
        {
            var taken = new HashSet<FocusTick>(ReferenceEqualityComparer.Instance);
            var pairs = all.SelectMany(t => byFixture[all.Key].Select(i => (Tick: t, Row: i, Off: t.Off(rows[i])))).Where(p => p.Off <= Near);
            foreach (var (tick, row, _) in pairs.OrderBy(p => p.Off).ThenByDescending(p => p.Tick.At))
            {
                if (!_ticks.ContainsKey(row) && taken.Add(tick))
                {
                    _ticks[row] = (tick, tick.Changed(rows[row], fixtures.GetValueOrDefault(tick.Fixture)));
                }
            }

            left.AddRange(all.Where(t => !taken.Contains(t)));
        }

        WithoutPosition = left;
        Of = rows.Count(r => r.State != RefocusState.Kept);
        Done = _ticks.Count(t => t.Value.Changed.Length == 0 && rows[t.Key].State != RefocusState.Kept);
    }

    /// <summary>Positions that somebody has to do something about: all but the kept ones.</summary>
    public int Of { get; }

    /// <summary>Those of them that are ticked.</summary>
    public int Done { get; }

    /// <summary>Ticks that are no position's any more.</summary>
    public IReadOnlyList<FocusTick> WithoutPosition { get; }

    /// <summary>Places in the answer's rows of all that were ticked, whether it counts or not.</summary>
    public IEnumerable<int> Rows => _ticks.Keys;

    /// <summary>The tick of a row, and why it no longer counts (empty where it does); null where it was never ticked.</summary>
    public (FocusTick Tick, string Changed)? this[int row] => _ticks.TryGetValue(row, out var tick) ? tick : null;
}
