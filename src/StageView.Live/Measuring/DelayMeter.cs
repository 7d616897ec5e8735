using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show.Sources;

namespace StageView.Live.Measuring;

/// <summary>Measures how long a packet takes into the pixels of window and page, with a marker universe sent to this machine alone.</summary>
/// <param name="desk">Where the marker's level comes in.</param>
/// <param name="universe">The marker's; its first address is used.</param>
/// <param name="port">UDP port it is sent to.</param>
internal sealed class DelayMeter(LevelsDesk desk, int universe, int port, TimeProvider clock, NightJournal journal) : IMarkerWitness, IDisposable
{
    private readonly Lock _gate = new();
    private volatile MarkerSender? _sender;

    /// <summary>The marker's level as it came in last, or -1 while nothing is measured.</summary>
    public int Level => _sender is null ? -1 : desk.Marker;

    /// <summary>What the window's last measured frame took to draw, ms.</summary>
    public float WindowFrameMilliseconds { get; private set; }

    /// <summary>What was measured so far, or null while nothing is.</summary>
    public MarkerState? State => _sender?.State(desk.Marker);

    public Reply Measure(bool on)
    {
        lock (_gate)
        {
            if (on == _sender is not null)
            {
                return Reply.Done("");
            }

            return on ? Begin() : End();
        }
    }

    public void SeenOnPage(int level, double agoMs) => _sender?.Seen(level, clock.GetTimestamp(), agoMs, window: false);

    /// <param name="level">As shown in the window.</param>
    /// <param name="at"><see cref="TimeProvider.GetTimestamp"/> when it stood on the screen.</param>
    /// <param name="frameMilliseconds">What the frame took to draw, ms.</param>
    public void SeenInWindow(int level, long at, float frameMilliseconds)
    {
        WindowFrameMilliseconds = frameMilliseconds;
        _sender?.Seen(level, at, 0, window: true);
    }

    public void Dispose() => _sender?.Dispose();

    private Reply Begin()
    {
        desk.WatchMarker(universe);
        _sender = new MarkerSender(universe, port, clock);
        journal.Say("show", $"measuring delays with universe {universe}, sent to this machine alone");
        return Reply.Done("measuring: the marker stands in the picture's corner");
    }

    private Reply End()
    {
        var was = State;
        _sender?.Dispose();
        _sender = null;
        desk.WatchMarker(0);
        journal.Say("show",
            $"measured: packet to window {was?.ToWindowMs?.ToString("0.0") ?? "–"} ms, packet to page {was?.ToPageMs?.ToString("0.0") ?? "–"} ms (medians)");
        return Reply.Done("");
    }
}
