namespace StageView.Show.Snap;

/// <summary>
/// Work on another thread, one piece at a time and one piece behind: while the caller makes the next, the last is finished. What comes of each is handed
/// over in order, on the caller's thread.
/// </summary>
/// <param name="take">Takes what came of a piece.</param>
internal sealed class OneBehind<T>(Action<T> take) : IDisposable
{
    private Task<T>? _running;

    /// <summary>Waits for the piece before, hands over what came of it, and begins the next.</summary>
    public void Start(Func<T> work)
    {
        End();
        _running = Task.Run(work);
    }

    /// <summary>Waits for the last piece and hands over what came of it; its error is the caller's.</summary>
    public void End()
    {
        if (_running is { } done)
        {
            _running = null;
            take(done.GetAwaiter().GetResult());
        }
    }

    /// <summary>Nothing runs on when the caller stopped half-way.</summary>
    public void Dispose()
    {
        if (_running is { } left)
        {
            Task.WaitAny(left);
        }
    }
}
