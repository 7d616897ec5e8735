namespace StageView.Live.RigFile;

/// <summary>
/// Notices that one of some files was written, deleted, came back or came at all, by looking: it works on every file system, and
/// nothing is missed when an editor saves by renaming.
/// </summary>
internal sealed class FileWatch
{
    private readonly Dictionary<string, Stamp> _seen = [];
    private IReadOnlyList<string> _files = [];

    /// <summary>What to look at from now on; their state now counts as known.</summary>
    public void Follow(IEnumerable<string> files)
    {
        _files = [.. files.Select(Path.GetFullPath).Distinct(StringComparer.Ordinal)];
        foreach (var gone in _seen.Keys.Except(_files).ToList())
        {
            _seen.Remove(gone);
        }

        foreach (var file in _files)
        {
            _seen.TryAdd(file, Stamp.Of(file));
        }
    }

    /// <summary>The files that changed since the last call; a file still being written is told again when it rests.</summary>
    public IReadOnlyList<string> Changed()
    {
        List<string>? changed = null;
        foreach (var file in _files)
        {
            var now = Stamp.Of(file);
            if (_seen[file] != now)
            {
                _seen[file] = now;
                (changed ??= []).Add(file);
            }
        }

        return changed ?? (IReadOnlyList<string>)[];
    }

    private readonly record struct Stamp(bool There, long Length, long WrittenTicks)
    {
        public static Stamp Of(string file)
        {
            try
            {
                var info = new FileInfo(file);
                return info.Exists ? new Stamp(true, info.Length, info.LastWriteTimeUtc.Ticks) : default;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return default;
            }
        }
    }
}
