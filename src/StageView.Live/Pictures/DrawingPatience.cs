namespace StageView.Live.Pictures;

/// <summary>
/// How long drawing processes may be silent before one is ended as hung. Anything they say counts as life. Each process in a row
/// that was ended doubles the time for the next, so that a machine too busy for a first picture comes to one; a picture that
/// came within the first time sets it back.
/// </summary>
/// <param name="clock">Tells the time.</param>
/// <param name="first">The first process's time; half a minute when left out.</param>
internal sealed class DrawingPatience(TimeProvider clock, TimeSpan? first = null)
{
    /// <summary>From half a minute to eight.</summary>
    private const int MostDoublings = 4;

    private readonly TimeSpan _first = first ?? TimeSpan.FromSeconds(30);
    private int _ended;

    public TimeProvider Clock => clock;

    /// <summary>For the process that draws now.</summary>
    public TimeSpan Now => _first * (1 << Math.Min(Volatile.Read(ref _ended), MostDoublings));

    /// <summary>A process was silent for longer and is ended.</summary>
    public void RanOut() => Interlocked.Increment(ref _ended);

    /// <summary>One thing that is waited for.</summary>
    public Wait Expect() => new(this);

    private void Came(TimeSpan after)
    {
        if (after < _first)
        {
            Volatile.Write(ref _ended, 0);
        }
    }

    /// <summary>A picture, or that a moment is taken. Several threads may tell of it.</summary>
    internal sealed class Wait(DrawingPatience patience)
    {
        private readonly Lock _one = new();
        private long? _begun;
        private long _alive;

        /// <summary>Whether nothing was heard for too long.</summary>
        public bool IsOver
        {
            get
            {
                lock (_one)
                {
                    return _begun is not null && patience.Clock.GetElapsedTime(_alive) >= patience.Now;
                }
            }
        }

        /// <summary>It is waited for from now on.</summary>
        public void Begin()
        {
            lock (_one)
            {
                _begun = _alive = patience.Clock.GetTimestamp();
            }
        }

        /// <summary>Something was heard that is not it yet.</summary>
        public void Lives()
        {
            lock (_one)
            {
                _alive = patience.Clock.GetTimestamp();
            }
        }

        /// <summary>It came.</summary>
        public void Came()
        {
            lock (_one)
            {
                if (_begun is { } begun)
                {
                    _begun = null;
                    patience.Came(patience.Clock.GetElapsedTime(begun));
                }
            }
        }

        /// <summary>It is not waited for any more, though it did not come.</summary>
        public void Leave()
        {
            lock (_one)
            {
                _begun = null;
            }
        }
    }
}
