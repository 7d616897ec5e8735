using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.Cautions;
using StageView.Show.Sources;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>Looks through a whole capture for cautions, on a stage of its own beside the one that is shown; one at a time.</summary>
internal sealed class CautionScan(NightJournal journal, Action changed) : IDisposable
{
    private const double Step = 0.5;
    private readonly Lock _gate = new();
    private CancellationTokenSource? _stop;
    private (string Path, RigScene Rig)? _of;
    private volatile ScanState? _state;
    private volatile CautionsState? _found;

    /// <summary>How far it is, or how it ended; null when none was asked for.</summary>
    public ScanState? State => _state;

    /// <summary>What was found, once the capture was looked through; null before, and for another capture or rig.</summary>
    public CautionsState? FoundIn(string? capture, RigScene rig)
    {
        lock (_gate)
        {
            return _of is { } of && of.Path == capture && ReferenceEquals(of.Rig, rig) ? _found : null;
        }
    }

    /// <summary>Begins to look through a capture; one under way is given up.</summary>
    public void Start(RigScene rig, string path)
    {
        lock (_gate)
        {
            Leave();
            var stop = _stop = new CancellationTokenSource();
            _of = (path, rig);
            _state = new ScanState(true, 0, null);
            Task.Run(() => Through(rig, path, stop.Token), CancellationToken.None);
        }
    }

    /// <summary>Gives up what is under way and forgets what was found.</summary>
    public void Stop()
    {
        lock (_gate)
        {
            Leave();
        }
    }

    public void Dispose() => Stop();

    private void Leave()
    {
        _stop?.Cancel();
        (_stop, _of, _state, _found) = (null, null, null, null);
    }

    private void Through(RigScene rig, string path, CancellationToken stop)
    {
        var name = Path.GetFileName(path);
        try
        {
            using var length = new CaptureShow(rig, path, index: null, keepHistory: false);
            var end = length.End().TotalSeconds;
            using var show = new CaptureShow(rig, path, index: null, keepHistory: false);
            var search = new CautionsQuestion(rig) { Cores = 1 };
            var times = Enumerable.Range(0, (int)Math.Ceiling(end / Step) + 1).Select(i => TimeSpan.FromSeconds(Math.Min(i * Step, end))).Distinct();
            foreach (var time in CautionsWalk.Through(search, show, times))
            {
                if (stop.IsCancellationRequested)
                {
                    return;
                }

                Set(new ScanState(true, end <= 0 ? 1 : time.TotalSeconds / end, null), null, stop);
            }

            Set(new ScanState(false, 1, show.Problem), CautionLines.OfCapture(rig, search.Answer(), name), stop);
            journal.Say("show", $"looked through {name} for cautions");
        }
        catch (Exception e) when (e is CaptureException or StopException or IOException or UnauthorizedAccessException)
        {
            Set(new ScanState(false, 0, $"{name} could not be looked through: {e.Message}"), null, stop);
        }

        changed();
    }

    private void Set(ScanState state, CautionsState? found, CancellationToken of)
    {
        lock (_gate)
        {
            if (!of.IsCancellationRequested)
            {
                (_state, _found) = (state, found);
            }
        }
    }
}
