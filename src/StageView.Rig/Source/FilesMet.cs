namespace StageView.Rig.Source;

/// <summary>Collects the files that a rig is read from, each once, in the order they were met.</summary>
internal sealed class FilesMet
{
    private readonly HashSet<string> _paths = new(StringComparer.Ordinal);
    private readonly List<SourceFile> _files = [];

    public IReadOnlyList<SourceFile> All => _files;

    /// <summary>Whether a file is there; it is written down either way.</summary>
    public bool Has(string path, SourceFileKind kind)
    {
        var full = Path.GetFullPath(path);
        var found = File.Exists(full);
        if (_paths.Add(full))
        {
            _files.Add(new SourceFile(full, kind, found));
        }

        return found;
    }
}
