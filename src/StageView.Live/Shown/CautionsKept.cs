using StageView.Live.Night;
using StageView.Live.Terms;

namespace StageView.Live.Shown;

/// <summary>
/// Cautions of the night, whatever is shown by now: each goes into the journal when it is found first, or again after a while, and stands in a list of its
/// own once its source or rig is no longer the one shown. Not to be used from two threads at once.
/// </summary>
internal sealed class CautionsKept(NightJournal journal, TimeProvider clock)
{
    /// <summary>Earlier ones that are listed; older ones stand in the journal.</summary>
    public const int Most = 60;

    private const int MostKnown = 1000;
    private const int MostAtOnce = 5;
    private static readonly TimeSpan QuietBeforeAgain = TimeSpan.FromMinutes(10);
    private readonly Dictionary<string, long> _seen = [];
    private readonly List<(string Key, EarlierCaution Line)> _earlier = [];

    /// <summary>Those of what is shown no more, the newest first, without those that are found now.</summary>
    /// <param name="of">What is shown.</param>
    /// <param name="now">What is found in it.</param>
    public IReadOnlyList<EarlierCaution> Earlier(string of, IReadOnlyList<CautionLine> now)
    {
        var found = now.Select(r => Key(of, r)).ToHashSet(StringComparer.Ordinal);
        return [.. _earlier.Where(e => !found.Contains(e.Key)).Select(e => e.Line)];
    }

    /// <summary>One look's rows: those that are new go into the journal.</summary>
    /// <param name="of">What is shown: the network, a capture's or a look's name.</param>
    public void Saw(string of, IReadOnlyList<CautionLine> rows)
    {
        var at = clock.GetTimestamp();
        var fresh = new List<CautionLine>();
        foreach (var row in rows.Where(r => r.Now))
        {
            if (!_seen.TryGetValue(Key(of, row), out var seen) || clock.GetElapsedTime(seen, at) >= QuietBeforeAgain)
            {
                fresh.Add(row);
            }

            _seen[Key(of, row)] = at;
        }

        foreach (var row in fresh.Take(MostAtOnce))
        {
            journal.Say("caution", $"{of}: {row.Text}");
        }

        if (fresh.Count > MostAtOnce)
        {
            journal.Say("caution", $"{of}: {fresh.Count - MostAtOnce} more");
        }

        if (_seen.Count > MostKnown)
        {
            foreach (var old in _seen.OrderBy(s => s.Value).Take(_seen.Count / 2).Select(s => s.Key).ToList())
            {
                _seen.Remove(old);
            }
        }
    }

    /// <summary>What was shown is shown no more, or goes back in time.</summary>
    /// <param name="of">What it was.</param>
    /// <param name="rows">What was found in it, the newest first.</param>
    /// <param name="when">When a row was found last, in words.</param>
    public void Ended(string of, IReadOnlyList<CautionLine> rows, Func<CautionLine, string> when)
    {
        var keys = rows.Select(r => Key(of, r)).ToHashSet(StringComparer.Ordinal);
        _earlier.RemoveAll(e => keys.Contains(e.Key));
        _earlier.InsertRange(0, rows.OrderByDescending(r => r.To).Select(r => (Key(of, r), new EarlierCaution(r.Kind, r.Text, of, when(r)))));
        _earlier.RemoveRange(Math.Min(Most, _earlier.Count), Math.Max(0, _earlier.Count - Most));
    }

    private static string Key(string of, CautionLine row) => of + "|" + row.Key;
}
