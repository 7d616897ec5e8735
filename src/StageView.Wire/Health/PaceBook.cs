using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>
/// Counts of each source over the last ten seconds and the last minute. Bounded: a reading each five seconds is kept of sources that the newest look
/// still knew.
/// </summary>
internal sealed class PaceBook
{
    private const double Step = 5;
    private const double Short = 10;
    private const double Long = 60;

    // A source that is known for less has no pace.
    private const double Least = 3;
    private readonly Dictionary<(int Universe, string Source), Series> _series = [];
    private long _look;

    /// <summary>One look.</summary>
    /// <returns>The same with the pace of each source.</returns>
    public IReadOnlyList<UniverseHealth> Take(double at, IReadOnlyList<UniverseHealth> universes)
    {
        _look++;
        UniverseHealth[] now = [.. universes.Select(u => u with { Sources = [.. u.Sources.Select(s => s with { Pace = Of(u.Universe, s, at) })] })];
        foreach (var key in _series.Where(s => s.Value.Look != _look).Select(s => s.Key).ToList())
        {
            _series.Remove(key);
        }

        return now;
    }

    private SourcePace? Of(int universe, SourceHealth s, double at)
    {
        var now = new Reading(at, s.Packets, s.LevelPackets, s.Bunched, s.Duplicates, s.Echoes, s.PriorityChanges);
        if (!_series.TryGetValue((universe, s.Id), out var series) || series.Kept[^1].Packets > now.Packets)
        {
            _series[(universe, s.Id)] = series = new Series();
            series.Kept.Add(now);
        }

        series.Look = _look;
        if (at - series.Kept[^1].At >= Step)
        {
            series.Kept.Add(now);
        }

        while (series.Kept.Count > 1 && series.Kept[1].At <= at - Long)
        {
            series.Kept.RemoveAt(0);
        }

        var minute = series.Kept[0];
        var then = series.Kept.FindLast(r => r.At <= at - Short);
        then = then == default ? minute : then;
        return at - then.At < Least ? null : new SourcePace(at - then.At, now.Packets - then.Packets, now.Levels - then.Levels, now.Bunched - then.Bunched,
            now.Duplicates + now.Echoes - then.Duplicates - then.Echoes, now.Echoes - then.Echoes, at - minute.At, now.Priorities - minute.Priorities,
            now.Levels - minute.Levels);
    }

    private readonly record struct Reading(double At, long Packets, long Levels, long Bunched, long Duplicates, long Echoes, long Priorities);

    private sealed class Series
    {
        public List<Reading> Kept { get; } = [];

        public long Look { get; set; }
    }
}
