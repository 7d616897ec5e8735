namespace StageView.Stage.Levels;

/// <summary>The levels of all universes the rig uses, side by side, as folded in so far.</summary>
internal sealed class LevelsNow(int universes)
{
    private readonly bool[] _heard = new bool[universes];

    public byte[] Bytes { get; } = new byte[universes * 512];

    public bool IsHeard(int place) => _heard[place >> 9];

    public void Clear()
    {
        Array.Clear(_heard);
        Array.Clear(Bytes);
    }

    /// <summary>Writes a stretch of a universe; <paramref name="first"/> tells whether it was not heard before.</summary>
    public void Take(int universe, int start, ReadOnlySpan<byte> levels, out bool first)
    {
        first = !_heard[universe];
        _heard[universe] = true;
        levels.CopyTo(Bytes.AsSpan((universe * 512) + start));
    }

    /// <summary>A copy to come back to.</summary>
    public LevelsNow Copy()
    {
        var copy = new LevelsNow(_heard.Length);
        copy.CopyFrom(this);
        return copy;
    }

    public void CopyFrom(LevelsNow other)
    {
        other._heard.CopyTo(_heard, 0);
        other.Bytes.CopyTo(Bytes, 0);
    }
}
