namespace StageView.Snapshot.Frames;

/// <summary>A folder of frames: sidecars with their pictures, or bare pictures.</summary>
public sealed class FrameSet
{
    private static readonly string[] _pictures = [".png", ".jpg", ".jpeg", ".webp"];
    private readonly SortedDictionary<string, FrameEntry> _frames = new(StringComparer.Ordinal);

    private FrameSet(string folder) => Folder = folder;

    public string Folder { get; }

    /// <summary>By name, in order.</summary>
    public IReadOnlyDictionary<string, FrameEntry> Frames => _frames;

    public CompareFile? Settings { get; private init; }

    /// <summary>What it lacks of the frames that were to be drawn, in words; null when it is whole, or nothing says what it should hold.</summary>
    public string? Lacks { get; private set; }

    /// <exception cref="SnapshotException">No such folder, or one whose baselines are half written.</exception>
    public static FrameSet Open(string folder)
    {
        if (!Directory.Exists(folder))
        {
            throw new SnapshotException($"{folder}: there is no such folder of frames");
        }

        if (File.Exists(Path.Combine(folder, BaselineStore.PendingFolder, BaselineStore.PendingFile)))
        {
            throw new SnapshotException($"{folder}: taking baselines was stopped half-way; the next 'stageview accept' into this folder ends it");
        }

        var settings = Path.Combine(folder, CompareFile.Name);
        var set = new FrameSet(folder) { Settings = File.Exists(settings) ? SnapshotJson.ReadStrict<CompareFile>(settings) : null };
        var files = Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories)
            .Select(f => Path.GetRelativePath(folder, f).Replace('\\', '/'))
            .Where(f => !f.StartsWith(BaselineStore.PendingFolder + "/", StringComparison.Ordinal)).Order(StringComparer.Ordinal).ToList();
        foreach (var file in files.Where(f => f.EndsWith(FrameSidecar.Extension, StringComparison.Ordinal)))
        {
            var name = file[..^FrameSidecar.Extension.Length];
            set._frames[name] = new FrameEntry(name, Path.Combine(folder, file), null);
        }

        // A picture without a sidecar of its own name is a frame too, unless it lies in a folder that sidecars point into.
        foreach (var file in files.Where(f => _pictures.Contains(Path.GetExtension(f).ToLowerInvariant())))
        {
            var name = Path.ChangeExtension(file, null);
            if (!set._frames.ContainsKey(name) && !file.StartsWith(BaselineStore.PixelFolder + "/", StringComparison.Ordinal)
                && !file.StartsWith(BaselineStore.MaskFolder + "/", StringComparison.Ordinal))
            {
                set._frames[name] = new FrameEntry(name, null, Path.Combine(folder, file));
            }
        }

        set.Lacks = SetRecord.Lacks(folder, set._frames);
        return set;
    }
}
