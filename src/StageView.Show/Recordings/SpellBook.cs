namespace StageView.Show.Recordings;

/// <summary>When things were so: moments a look apart joined to spells, each thing with what was said of it. Bounded by the number of things.</summary>
internal sealed class SpellBook<TKey, TWhat>
    where TKey : notnull
{
    // A look that misses one alone ends no spell.
    private const double Joined = 1.3;
    private readonly Dictionary<TKey, Entry> _entries = [];

    /// <summary>In the order of their first moments.</summary>
    public IEnumerable<(TKey Key, TWhat What, IReadOnlyList<(double From, double To)> Spells, int Count, double Seconds)> All =>
        _entries.Select(e => (e.Key, e.Value.What, (IReadOnlyList<(double, double)>)e.Value.Spells, e.Value.Count, e.Value.Seconds + e.Value.Open));

    /// <summary>Of a thing that never was so: none.</summary>
    public IReadOnlyList<(double From, double To)> Of(TKey key) => _entries.TryGetValue(key, out var entry) ? entry.Spells : [];

    /// <param name="key">The thing.</param>
    /// <param name="at">Show time, s, not before the last one.</param>
    /// <param name="what">What is said of it now.</param>
    /// <param name="join">What is kept of what was said and is said.</param>
    public void Add(TKey key, double at, TWhat what, Func<TWhat, TWhat, TWhat> join)
    {
        if (!_entries.TryGetValue(key, out var entry))
        {
            _entries.Add(key, entry = new Entry(what));
        }

        entry.What = join(entry.What, what);
        if (entry.Count > 0 && at - entry.To <= Joined)
        {
            entry.To = at;
        }
        else
        {
            entry.Seconds += entry.Open;
            (entry.From, entry.To) = (at, at);
            entry.Count++;
        }

        if (entry.Count <= RecordingWatch.MostSpells)
        {
            if (entry.Spells.Count < entry.Count)
            {
                entry.Spells.Add(default);
            }

            entry.Spells[^1] = (entry.From, entry.To);
        }
    }

    private sealed class Entry(TWhat what)
    {
        public TWhat What { get; set; } = what;

        public List<(double From, double To)> Spells { get; } = [];

        public double From { get; set; }

        public double To { get; set; }

        public int Count { get; set; }

        public double Seconds { get; set; }

        public double Open => To - From;
    }
}
