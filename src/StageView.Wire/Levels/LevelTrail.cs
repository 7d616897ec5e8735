namespace StageView.Wire.Levels;

/// <summary>
/// The latest changes of a source's levels, so that a source that does the same a little later is told from one that does something else: a backup
/// that tracks is a frame or two behind, in a fade at every look.
/// </summary>
internal sealed class LevelTrail
{
    // Common practice, no source: a backup is up to so far behind, some frames of 44 Hz or two of a slow console.
    private static readonly TimeSpan s_behind = TimeSpan.FromMilliseconds(150);

    // As long as the trail is at 44 Hz.
    private static readonly TimeSpan s_known = TimeSpan.FromMilliseconds(550);

    // Between two frames of a fade the other may stand anywhere; a step of more is no fade but a jump, between whose ends nothing was sent.
    private const int FadeStep = 32;
    private const int Kept = 24;
    private readonly byte[] _frames = new byte[Kept * LevelFold.Size];
    private readonly TimeSpan[] _at = new TimeSpan[Kept];
    private int _last;
    private int _count = 1;

    /// <param name="levels">What is sent when it begins.</param>
    /// <param name="at">Since when.</param>
    public LevelTrail(ReadOnlySpan<byte> levels, TimeSpan at) => Set(0, levels, at);

    public void Add(ReadOnlySpan<byte> levels, TimeSpan at)
    {
        _last = (_last + 1) % Kept;
        _count = Math.Min(Kept, _count + 1);
        Set(_last, levels, at);
    }

    /// <summary>Whether one of two sources does at an address what the other did a moment ago.</summary>
    /// <param name="a">One; a source without a trail has not changed since both are heard.</param>
    /// <param name="b">The other.</param>
    /// <param name="address">From 0.</param>
    /// <param name="now">Now.</param>
    public static bool Follow(SourceState a, SourceState b, int address, TimeSpan now) => Behind(a, b, address, now) || Behind(b, a, address, now);

    // What the one behind has now, the other had lately; and all that the other had for some time before that, the one behind has had since.
    private static bool Behind(SourceState behind, SourceState before, int address, TimeSpan now)
    {
        if (!Had(before, address, behind.Levels[address], now - s_behind))
        {
            return false;
        }

        if (before.Trail is not { } trail)
        {
            return Had(behind, address, before.Levels[address], now - s_known - s_behind);
        }

        var until = now;
        for (var i = 0; i < trail._count && until > now - s_known; i++)
        {
            var since = trail._at[trail.Back(i)];
            if (since < now - s_behind && !Had(behind, address, trail.Level(i, address), now - s_known - s_behind))
            {
                return false;
            }

            until = since;
        }

        return true;
    }

    private static bool Had(SourceState source, int address, byte level, TimeSpan since)
    {
        if (source.Trail is not { } trail)
        {
            return source.Levels[address] == level;
        }

        for (var i = 0; i < trail._count; i++)
        {
            var now = trail.Level(i, address);
            if (now == level)
            {
                return true;
            }

            // In force at the beginning of the time, so the last that counts.
            if (trail._at[trail.Back(i)] <= since)
            {
                return false;
            }

            if (i + 1 < trail._count && trail.Level(i + 1, address) is var earlier && Math.Abs(now - earlier) <= FadeStep
                && level >= Math.Min(now, earlier) && level <= Math.Max(now, earlier))
            {
                return true;
            }
        }

        return false;
    }

    private int Back(int steps) => (_last - steps + Kept) % Kept;

    private byte Level(int back, int address) => _frames[(Back(back) * LevelFold.Size) + address];

    private void Set(int frame, ReadOnlySpan<byte> levels, TimeSpan at)
    {
        var kept = _frames.AsSpan(frame * LevelFold.Size, LevelFold.Size);
        levels.CopyTo(kept);
        kept[levels.Length..].Clear();
        _at[frame] = at;
    }
}
