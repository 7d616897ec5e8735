namespace StageView.Stage;

/// <content>The levels themselves.</content>
public sealed partial class StageModel
{
    /// <summary>The levels of every patched universe that was heard, 512 bytes each, as of the newest moment that was made; copies.</summary>
    public IReadOnlyList<(int Universe, byte[] Levels)> HeardLevels()
    {
        lock (_gate)
        {
            return [.. _map.Universes.Select((universe, i) => (Universe: universe, Place: i * 512)).Where(u => u.Universe > 0 && _levels.IsHeard(u.Place))
                .Select(u => (u.Universe, _levels.Bytes.AsSpan(u.Place, 512).ToArray()))];
        }
    }
}
