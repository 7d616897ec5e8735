namespace StageView.Live.Measuring;

/// <summary>
/// Tells the first picture that shows a marker level, in one window or page, from those that show it again: only the first tells of the delay.
/// </summary>
internal sealed class FirstSight
{
    private int _last = -1;

    /// <summary>True when the picture before showed another level.</summary>
    public bool Of(int level) => Interlocked.Exchange(ref _last, level) != level;
}
