using System.Globalization;
using System.Text;
using System.Text.Json;
using StageView.Live.Terms;

namespace StageView.Live.Night;

/// <summary>
/// What happened tonight, with times. Bounded: the oldest entries give way and their number is kept; a line that was
/// said <see cref="MostAlike"/> times within a minute is from then on counted, not repeated, until the minute is over.
/// </summary>
internal sealed class NightJournal(TimeProvider clock, int capacity = 20_000)
{
    private const int MostAlike = 4;
    private static readonly TimeSpan SameWithin = TimeSpan.FromMinutes(1);
    private readonly Lock _gate = new();
    private readonly Queue<JournalEntry> _entries = new();
    private readonly Dictionary<(string, string), Said> _recent = [];
    private readonly Dictionary<long, JournalEntry> _grown = [];
    private long _count;

    /// <summary>Raised outside the lock, for the terminal.</summary>
    public event Action<JournalEntry>? Added;

    public long Count
    {
        get
        {
            lock (_gate)
            {
                return _count;
            }
        }
    }

    public void Say(string kind, string text)
    {
        var clean = OneLine.Of(text);
        var now = clock.GetLocalNow();
        JournalEntry entry;
        lock (_gate)
        {
            var known = _recent.TryGetValue((kind, clean), out var said) && now - said.Since < SameWithin && now >= said.Since;
            if (known && said.Times >= MostAlike)
            {
                var more = said.Newest with { Until = now, Times = said.Newest.Times + 1 };
                _recent[(kind, clean)] = said with { Newest = more };
                _grown[more.Number] = more;
                return;
            }

            entry = new JournalEntry(++_count, now, now, kind, clean, 1);
            _entries.Enqueue(entry);
            if (_entries.Count > capacity)
            {
                _grown.Remove(_entries.Dequeue().Number);
            }

            if (_recent.Count >= 256)
            {
                foreach (var old in _recent.Where(r => now - r.Value.Since >= SameWithin).Select(r => r.Key).ToList())
                {
                    _recent.Remove(old);
                }

                if (_recent.Count >= 256)
                {
                    _recent.Clear();
                }
            }

            _recent[(kind, clean)] = known ? new Said(entry, said.Since, said.Times + 1) : new Said(entry, now, 1);
        }

        Added?.Invoke(entry);
    }

    /// <summary>The newest entries, oldest of them first.</summary>
    public IReadOnlyList<JournalEntry> Newest(int most)
    {
        lock (_gate)
        {
            return [.. _entries.Skip(Math.Max(0, _entries.Count - most)).Select(Grown)];
        }
    }

    /// <summary>The whole journal as text, one entry a line.</summary>
    public string ToText()
    {
        var text = new StringBuilder();
        var all = Newest(int.MaxValue);
        var dropped = all.Count == 0 ? 0 : all[0].Number - 1;
        if (dropped > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"({dropped} older entries gave way)\n");
        }

        foreach (var e in all)
        {
            text.Append(CultureInfo.InvariantCulture, $"{e.At:yyyy-MM-dd HH:mm:ss.fff zzz}  {e.Kind,-8}  {e.Text}");
            text.Append(e.Times > 1 ? string.Create(CultureInfo.InvariantCulture, $"  ({e.Times} times until {e.Until:HH:mm:ss})\n") : "\n");
        }

        return text.ToString();
    }

    /// <summary>The whole journal as JSON, one entry a line.</summary>
    public string ToJsonLines() => string.Concat(Newest(int.MaxValue).Select(e => JsonSerializer.Serialize(e, LiveJson.Options) + "\n"));

    private JournalEntry Grown(JournalEntry e) => _grown.GetValueOrDefault(e.Number, e);

    private readonly record struct Said(JournalEntry Newest, DateTimeOffset Since, int Times);
}
