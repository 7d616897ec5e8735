namespace StageView.Live.Pictures;

/// <summary>What a window's title says: the worst of what is patched, the rig, and what was clicked.</summary>
/// <param name="feed">Says the first two.</param>
internal sealed class WindowTitle(IMomentFeed feed)
{
    private readonly Lock _gate = new();
    private string _line = feed.Name;
    private string _told = "";

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
        var worst = feed.Worst;
        lock (_gate)
        {
            var title = worst.Length == 0 ? _line : $"{worst} · {_line}";
            return title == _told ? null : _told = title;
        }
    }
}
