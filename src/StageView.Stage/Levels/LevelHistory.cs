namespace StageView.Stage;

/// <summary>Levels as they came, in order of time, 512 bytes a change, in chunks so that growing never copies them.</summary>
internal sealed class LevelHistory
{
    private const int PerChunk = 128;
    private readonly List<byte[]> _chunks = [];
    private readonly List<(double At, int Universe)> _entries = [];

    public int Count => _entries.Count;

    public (double At, int Universe) this[int i] => _entries[i];

    public ReadOnlySpan<byte> LevelsOf(int i) => _chunks[i / PerChunk].AsSpan(i % PerChunk * 512, 512);

    public void Add(double at, int universe, ReadOnlySpan<byte> levels)
    {
        var i = _entries.Count;
        if (i / PerChunk == _chunks.Count)
        {
            _chunks.Add(new byte[PerChunk * 512]);
        }

        var to = _chunks[i / PerChunk].AsSpan(i % PerChunk * 512, 512);
        to.Clear();
        levels[..Math.Min(512, levels.Length)].CopyTo(to);
        _entries.Add((at, universe));
    }

    /// <summary>Forgets all entries but keeps the memory.</summary>
    public void Clear() => _entries.Clear();
}
