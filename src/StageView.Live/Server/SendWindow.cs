namespace StageView.Live.Server;

/// <summary>
/// How many bytes of pictures may be on their way to a page: as many as its link takes in a quarter of a second beyond a bare round trip, so that an
/// answer never waits long behind them.
/// </summary>
internal sealed class SendWindow(TimeProvider clock)
{
    /// <summary>Less than this is no picture, bytes.</summary>
    public const int Least = 2048;

    private const int First = 16 * 1024;
    private const int Most = 1 << 20;
    private const double Seconds = .25;
    private const double LongestRoundTrip = .5;
    private readonly Lock _gate = new();
    private readonly Queue<(long End, long At, long UnderWay)> _sent = new();
    private long _total;
    private long _got;
    private double _window = First;
    private double _roundTrip = LongestRoundTrip;

    /// <summary>Bytes that may be sent now; 0 where that would be fewer than <see cref="Least"/>.</summary>
    public int Room
    {
        get
        {
            lock (_gate)
            {
                var room = (int)_window - (_total - _got);
                return room < Least ? 0 : (int)room;
            }
        }
    }

    /// <summary>A bare message went there and back. The quickest counts: the others waited behind pictures.</summary>
    public void RoundTrip(TimeSpan took)
    {
        lock (_gate)
        {
            _roundTrip = Math.Min(_roundTrip, took.TotalSeconds);
        }
    }

    /// <summary>A message of pictures is sent.</summary>
    public void Sent(int bytes)
    {
        lock (_gate)
        {
            _total += bytes;
            _sent.Enqueue((_total, clock.GetTimestamp(), _total - _got));
        }
    }

    /// <summary>The page has so many bytes of pictures in all.</summary>
    public void Got(long total)
    {
        lock (_gate)
        {
            _got = Math.Clamp(total, _got, _total);
            while (_sent.TryPeek(out var sent) && sent.End <= _got)
            {
                _sent.Dequeue();

                // What was under way then went through since. One that came late once halves it at most.
                var took = Math.Max(1e-3, clock.GetElapsedTime(sent.At).TotalSeconds);
                var takes = sent.UnderWay / took * (Seconds + _roundTrip);
                _window = Math.Clamp(Math.Max(takes, _window / 2), Least, Most);
            }
        }
    }
}
