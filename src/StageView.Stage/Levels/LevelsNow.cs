namespace StageView.Stage;

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

    /// <summary>Returns whether anything differs, or the universe was not heard before (<paramref name="first"/>).</summary>
    public bool Take(int universe, ReadOnlySpan<byte> levels, out bool first)
    {
        var to = Bytes.AsSpan(universe * 512, 512);
        first = !_heard[universe];
        if (!first && levels.SequenceEqual(to))
        {
            return false;
        }

        _heard[universe] = true;
        levels.CopyTo(to);
        return true;
    }
}
