namespace StageView.Snapshot;

/// <summary>Puts the reports of several shards together.</summary>
public static class ReportMerge
{
    /// <param name="folders">Report folders, each with its <c>report.json</c>.</param>
    /// <param name="into">Folder of the merged report; difference pictures are copied there.</param>
    /// <exception cref="SnapshotException">A report can't be read, or a frame was answered twice.</exception>
    public static SetResult Merge(IReadOnlyList<string> folders, string into)
    {
        ArgumentNullException.ThrowIfNull(folders);
        var frames = new SortedDictionary<string, FrameResult>(StringComparer.Ordinal);
        var causes = new List<Cause>();
        SetResult? first = null;
        foreach (var folder in folders)
        {
            var part = SnapshotJson.Read<ReportJson>(Path.Combine(folder, "report.json")).ToResult();
            first ??= part;
            causes.AddRange(part.Causes);
            foreach (var frame in part.Frames)
            {
                if (!frames.TryAdd(frame.Name, frame))
                {
                    throw new SnapshotException($"{folder}: {frame.Name} was answered by another shard already; each shard must have its own number");
                }

                Copy(frame, folder, into);
            }
        }

        return first is null
            ? throw new SnapshotException("there is no report to merge")
            : first with { Frames = [.. frames.Values], Causes = [.. causes.DistinctBy(c => c.Text)] };
    }

    private static void Copy(FrameResult frame, string from, string into)
    {
        if (frame.DifferenceFile is not { } file)
        {
            return;
        }

        var (source, target) = (Path.GetFullPath(Path.Combine(from, file)), Path.GetFullPath(Path.Combine(into, file)));
        if (source.StartsWith(Path.GetFullPath(from), StringComparison.Ordinal) && target.StartsWith(Path.GetFullPath(into), StringComparison.Ordinal) && File.Exists(source))
        {
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(source, target, overwrite: true);
        }
    }
}
