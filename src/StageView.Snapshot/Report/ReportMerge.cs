using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Report;

/// <summary>Puts the reports of several shards together.</summary>
public static class ReportMerge
{
    /// <param name="folders">Report folders, each with its <c>report.json</c>.</param>
    /// <param name="into">Folder of the merged report; difference pictures are copied there.</param>
    /// <exception cref="SnapshotException">A report can't be read, or a frame was answered in two ways.</exception>
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
                if (!frames.TryAdd(frame.Name, frame) && frames[frame.Name].Verdict != frame.Verdict)
                {
                    throw new SnapshotException(
                        $"{folder}: {frame.Name} is {frame.Verdict} here and {frames[frame.Name].Verdict} in another part: the parts do not belong together");
                }

                Copy(frame, folder, into);
            }
        }

        var paired = frames.Values.Select(f => f.BaseName).OfType<string>().ToHashSet(StringComparer.Ordinal);

        // What no machine drew is missing from the whole: only now can it be told.
        foreach (var (name, entry) in first is not null && Directory.Exists(first.BaseFolder) ? FrameSet.Open(first.BaseFolder).Frames
            : new Dictionary<string, FrameEntry>())
        {
            if (!paired.Contains(name))
            {
                // Its name may be that of a new frame which belongs to another of the base's.
                var free = frames.TryGetValue(name, out var f) && f.BaseName is not null ? name + " (base)" : name;
                frames.TryAdd(free, new FrameResult { Name = free, Verdict = FrameVerdict.Removed, BaseFile = entry.PictureOf(entry.ReadSidecar()) });
            }
        }

        return first is null
            ? throw new SnapshotException("there is no report to merge")
            : first with
            {
                Frames = [.. frames.Values.OrderBy(f => f.Seconds).ThenBy(f => f.Name, StringComparer.Ordinal)],
                Causes = [.. causes.DistinctBy(c => c.Text)],
            };
    }

    private static void Copy(FrameResult frame, string from, string into)
    {
        if (frame.DifferenceFile is not { } file)
        {
            return;
        }

        var (source, target) = (Path.GetFullPath(Path.Combine(from, file)), Path.GetFullPath(Path.Combine(into, file)));
        if (source.StartsWith(Path.GetFullPath(from), StringComparison.Ordinal) && target.StartsWith(Path.GetFullPath(into), StringComparison.Ordinal)
            && File.Exists(source))
        {
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(source, target, overwrite: true);
        }
    }
}
