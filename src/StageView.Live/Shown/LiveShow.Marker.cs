using StageView.Live.Network;
using StageView.Live.Pictures;

namespace StageView.Live.Shown;

internal sealed partial class LiveShow
{
    private MarkerSender? _marker;
    private volatile bool _measuring;

    public Reply Measure(bool on)
    {
        if (on == _measuring)
        {
            return Reply.Done("");
        }

        if (on)
        {
            _desk.WatchMarker(_options.MarkerUniverse);
            _marker = new MarkerSender(_options.MarkerUniverse, _options.E131Port, _clock);
            _measuring = true;
            _journal.Say("show", $"measuring delays with universe {_options.MarkerUniverse}, sent to this machine alone");
            return Reply.Done("measuring: the marker stands in the picture's corner");
        }

        _measuring = false;
        var was = MarkerNow();
        _marker?.Dispose();
        _marker = null;
        _desk.WatchMarker(0);
        Wake();
        _journal.Say("show", $"measured: packet to window {was?.ToWindowMs?.ToString("0.0") ?? "–"} ms, packet to page {was?.ToPageMs?.ToString("0.0") ?? "–"} ms (medians)");
        return Reply.Done("");
    }

    public void SeenOnPage(int level, double agoMs) => _marker?.Seen(level, _clock.GetTimestamp(), agoMs, window: false);

    public void ShownInWindow(ShownHead shown)
    {
        WindowFrameMilliseconds = shown.FrameMilliseconds;
        _marker?.Seen(shown.Marker, shown.At, 0, window: true);
    }

    /// <summary>What the window's last measured frame took to draw, ms.</summary>
    public float WindowFrameMilliseconds { get; private set; }

    private MarkerState? MarkerNow() => _marker?.State(_desk.Marker);
}
