namespace StageView.Stage.Levels;

/// <summary>
/// Level changes in order of time. Of each change only the stretch that differs from the universe's levels before is kept,
/// in chunks so that growing never copies them: a fade costs its own bytes, not its universe's.
/// </summary>
internal sealed class LevelHistory(int universes)
{
    private const int ChunkBytes = 1 << 18;
    private readonly List<byte[]> _chunks = [];
    private readonly List<LevelChange> _changes = [];
    private readonly byte[] _newest = new byte[universes * 512];
    private readonly bool[] _heard = new bool[universes];
    private int _chunk;
    private int _used;

    public int Count => _changes.Count;

    /// <summary>Bytes kept.</summary>
    public long Bytes => ((long)_chunk * ChunkBytes) + _used;

    public LevelChange this[int i] => _changes[i];

    /// <summary>The bytes that a change brought, from its <see cref="LevelChange.Start"/> on.</summary>
    public ReadOnlySpan<byte> LevelsOf(in LevelChange change) => _chunks[change.Chunk].AsSpan(change.Offset, change.Length);

    /// <summary>Adds what differs; returns false when nothing does.</summary>
    public bool Add(double at, int universe, ReadOnlySpan<byte> levels)
    {
        var newest = _newest.AsSpan(universe * 512, 512);
        var first = !_heard[universe];
        var now = levels[..Math.Min(512, levels.Length)];
        var start = first ? 0 : now.CommonPrefixLength(newest);
        if (start == now.Length)
        {
            return false;
        }

        var end = now.Length;
        while (!first && end > start + 1 && now[end - 1] == newest[end - 1])
        {
            end--;
        }

        _heard[universe] = true;
        now.CopyTo(newest);
        if (_chunks.Count == 0 || _used + end - start > ChunkBytes)
        {
            _chunk = _chunks.Count == 0 ? 0 : _chunk + 1;
            _used = 0;
        }

        if (_chunk == _chunks.Count)
        {
            _chunks.Add(new byte[ChunkBytes]);
        }

        now[start..end].CopyTo(_chunks[_chunk].AsSpan(_used));
        _changes.Add(new LevelChange(at, universe, _chunk, _used, start, end - start));
        _used += end - start;
        return true;
    }

    /// <summary>Forgets all changes but keeps the memory, and what the levels are by now.</summary>
    public void Clear()
    {
        _changes.Clear();
        (_chunk, _used) = (0, 0);
    }
}
