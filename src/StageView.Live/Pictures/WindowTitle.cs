namespace StageView.Live.Pictures;

/// <summary>What a window's title says: timecode, the worst of what is patched or what stands in for the network, the rig, and what was clicked.</summary>
/// <param name="feed">Says all but the last.</param>
/// <param name="clock">Running timecode makes no more than five titles a second.</param>
internal sealed class WindowTitle(IMomentFeed feed, TimeProvider clock)
{
    private static readonly TimeSpan Between = TimeSpan.FromMilliseconds(200);
    private readonly Lock _gate = new();
    private string _line = feed.Name;
    private string _told = "";
    private string _toldBeside = "";
    private long _toldAt;

    /// <summary>Something was clicked.</summary>
    /// <param name="line">What is said of it, with the rig's name.</param>
    public void Picked(string line)
    {
        lock (_gate)
        {
            _line = line;
        }
    }

    /// <summary>The title, where it is another than the last one handed out; else null.</summary>
    public string? Changed()
    {
        var (worst, timecode) = (feed.Worst, feed.Timecode);
        lock (_gate)
        {
            var beside = $"{(worst.Length == 0 ? "● network" : worst)} · {_line}";
            var title = timecode is null ? beside : $"{timecode} · {beside}";
            if (title == _told || (beside == _toldBeside && clock.GetElapsedTime(_toldAt) < Between))
            {
                return null;
            }

            (_toldBeside, _toldAt) = (beside, clock.GetTimestamp());
            return _told = title;
        }
    }
}
