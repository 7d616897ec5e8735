using System.Globalization;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Show;
using StageView.Show.Refocus;

namespace StageView.Live.Shown;

/// <summary>What was focused, kept in a file beside the rig; not to be used from two threads at once.</summary>
/// <param name="file">The file.</param>
internal sealed class RefocusTicking(string file, NightJournal journal, TimeProvider clock)
{
    private const int MostTold = 5;
    private readonly FileWatch _watch = new();
    private readonly HashSet<FocusTick> _toldDropped = new(ReferenceEqualityComparer.Instance);
    private IReadOnlyList<FocusTick>? _ticks;
    private FocusProgress? _progress;
    private string? _trouble;
    private IReadOnlyList<string> _dropped = [];
    private int _sequence;

    // By row: what the page knows, and when it was changed last.
    private Dictionary<int, (RefocusTick Line, int Changed)> _lines = [];

    /// <summary>A state with what is ticked.</summary>
    public RefocusNow Tell(RefocusNow now) => now with
    {
        Ticks = _sequence,
        Done = _progress?.Done ?? 0,
        Of = _progress?.Of ?? 0,
        Dropped = _dropped,
        FileTrouble = _trouble,
        File = Path.GetFileName(file),
    };

    /// <summary>Ticks that changed since one state of them.</summary>
    public RefocusTicks Since(int version, int since) =>
        new(version, _sequence, [.. _lines.Values.Where(l => l.Changed > since).Select(l => l.Line).OrderBy(l => l.Row)]);

    /// <summary>Finds the ticks of an answer that was worked out anew.</summary>
    public void Match(RefocusResult result)
    {
        if (_ticks is null)
        {
            _watch.Follow([file]);
            Read();
        }

        _lines = [];
        Show(result);
    }

    /// <summary>Reads the file again where somebody else wrote it; whether something changed.</summary>
    public bool FollowFile(RefocusResult result)
    {
        if (_watch.Changed().Count == 0)
        {
            return false;
        }

        Read();
        Show(result);
        return true;
    }

    /// <summary>Ticks, or takes ticks back, and writes the file.</summary>
    /// <param name="row">Place of the position in the answer; null for all of a fixture that somebody has to do something about.</param>
    public Reply Set(RefocusResult result, int? row, string? fixture, bool on, string by)
    {
        FollowFile(result);
        if (_trouble is { } trouble)
        {
            return Reply.Refuse("nothing is ticked: " + trouble);
        }

        var rows = result.Answer.Rows;
        var meant = row is { } one ? one >= 0 && one < rows.Count ? [one] : []
            : Enumerable.Range(0, rows.Count).Where(i => rows[i].Fixture == fixture && rows[i].State != RefocusState.Kept).ToList();
        if (meant.Count == 0)
        {
            return Reply.Refuse("there is no such position");
        }

        var changed = meant.Where(i => on != (_progress![i] is { Changed.Length: 0 })).ToList();
        var gone = changed.Select(i => _progress![i]?.Tick).OfType<FocusTick>().ToHashSet(ReferenceEqualityComparer.Instance);
        var at = clock.GetLocalNow();
        List<FocusTick> ticks = [.. _ticks!.Where(t => !gone.Contains(t)), .. on ? changed.Select(i => FocusTick.Of(rows[i], by, at)) : []];
        try
        {
            FocusFile.Write(file, result.Answer.Tour, result.Answer.To, ticks);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse($"{file} can't be written: {e.Message}");
        }

        _watch.Changed();
        _ticks = ticks;
        Show(result);
        var of = rows[meant[0]];
        var what = row is null ? $"{of.Fixture}, {Counted.Of(meant.Count, "position")}" : Named(of.Fixture, of.Position, of.Anchor.Text);
        journal.Say("refocus", $"{what}: {(on ? "focused" : "tick taken back")}{(by.Length > 0 ? ", says " + by : "")}");
        return Reply.Done("");
    }

    private static string Named(string fixture, int position, string what) =>
        string.Create(CultureInfo.InvariantCulture, $"{fixture}, position {position} ({what})");

    private void Read()
    {
        try
        {
            (_ticks, _trouble) = (FocusFile.Read(file), null);
        }
        catch (StopException e)
        {
            (_ticks, _trouble) = (_ticks ?? [], e.Message);
            journal.Say("refocus", e.Message);
        }
    }

    private void Show(RefocusResult result)
    {
        var progress = _progress = new FocusProgress(result, _ticks!);
        foreach (var row in progress.Rows.Union(_lines.Keys).ToList())
        {
            var line = progress[row] is { } t ? new RefocusTick(row, t.Changed.Length == 0, t.Tick.By, When(t.Tick), t.Changed) : new RefocusTick(row, false, "", "", "");
            if (!_lines.TryGetValue(row, out var known) || known.Line != line)
            {
                _lines[row] = (line, ++_sequence);
            }
        }

        var dropped = progress.Rows.Order().Select(r => progress[r]!.Value).Where(t => t.Changed.Length > 0)
            .Concat(progress.WithoutPosition.Select(t => (Tick: t, Changed: "no position is for that any more"))).ToList();
        _dropped = [.. dropped.Take(MostTold).Select(Words), .. dropped.Count > MostTold ? [$"and {dropped.Count - MostTold} more"] : Array.Empty<string>()];
        var fresh = dropped.Where(t => _toldDropped.Add(t.Tick)).ToList();
        _toldDropped.IntersectWith(dropped.Select(t => t.Tick));
        foreach (var tick in fresh.Take(MostTold))
        {
            journal.Say("refocus", "a tick counts no longer: " + Words(tick));
        }

        if (fresh.Count > MostTold)
        {
            journal.Say("refocus", $"{fresh.Count - MostTold} more ticks count no longer");
        }
    }

    private static string Words((FocusTick Tick, string Changed) of) =>
        OneLine.Of($"{Named(of.Tick.Fixture, of.Tick.Position, of.Tick.For)}, ticked {When(of.Tick)}{(of.Tick.By.Length > 0 ? " by " + of.Tick.By : "")}: {of.Changed}");

    private static string When(FocusTick tick) => tick.At.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
}
