namespace StageView.Live.Pictures;

/// <summary>
/// Starts one drawing process after the other. Each gets the place and view of the last one's window, unless they seem to be what
/// ends them; and while a graphics processor or a display may be coming back, less than there was before is not taken at once.
/// </summary>
/// <param name="start">Starts one: whether with a window, and where that stood.</param>
/// <param name="window">Whether a window is wanted.</param>
/// <param name="clock">Tells how long each lived.</param>
internal sealed class DrawersInTurn(Func<bool, WindowStanding?, IDrawer> start, bool window, TimeProvider clock)
{
    private const int MostRefusals = 4, MostQuickEnds = 2;
    private static readonly TimeSpan Quick = TimeSpan.FromSeconds(20);
    private bool _window = window;
    private IDrawer? _last;
    private IDrawer? _counted;
    private long _began;
    private int _quickEnds;
    private int _refusals;

    /// <summary>The next one.</summary>
    /// <exception cref="InvalidOperationException">It draws with less than the last one did: try again.</exception>
    /// <exception cref="Exception">What starting throws.</exception>
    public IDrawer Next()
    {
        if (_last is { } ended && _counted != ended)
        {
            _counted = ended;
            _window &= !ended.WindowWasClosed;
            _quickEnds = clock.GetElapsedTime(_began) < Quick ? _quickEnds + 1 : 0;
        }

        var next = start(_window, _quickEnds < MostQuickEnds ? _last?.Standing : null);
        if (_last is { } last && _refusals < MostRefusals && Lacks(next, last) is { } lack)
        {
            _refusals++;
            next.Dispose();
            throw new InvalidOperationException(lack);
        }

        _refusals = 0;
        _began = clock.GetTimestamp();
        return _last = next;
    }

    private string? Lacks(IDrawer next, IDrawer last) =>
        _window && last.HasWindow && !next.HasWindow ? "its window can't be opened yet"
        : next.IsSoftware && !last.IsSoftware ? $"only {next.Renderer} would draw yet, not {last.Renderer}"
        : null;
}
