using StageView.Snapshot.Compare;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;

namespace StageView.Show.Snap;

/// <summary>What a comparison says as a whole.</summary>
public enum CompareVerdict
{
    /// <summary>Every frame is the same, or passes.</summary>
    Same,

    /// <summary>A frame differs.</summary>
    Different,

    /// <summary>A frame can't be read, or frames that should be there are not: there is no answer for the whole.</summary>
    Unreadable,

    /// <summary>There is no frame at all, so there is no answer.</summary>
    Nothing,
}

/// <summary>A comparison of two sets of frames.</summary>
/// <param name="Page">The report's page, or null where none was asked for.</param>
public sealed record CompareAnswer(SetResult Result, string? Page, CompareVerdict Verdict);

/// <summary>Compares sets of frames, or merges what several machines compared, and writes the report.</summary>
/// <param name="report">Folder for the report, or null.</param>
/// <param name="title">Its headline.</param>
/// <param name="addedIsFine">Whether frames that only the new set has make no difference.</param>
public sealed class CompareRun(string? report, string title, bool addedIsFine)
{
    /// <param name="progress">Told after each frame.</param>
    /// <exception cref="StopException">It was stopped.</exception>
    public CompareAnswer Compare(SetRequest request, Action<SetProgress>? progress, CancellationToken stop)
    {
        try
        {
            return Answer(SetComparison.Run(request, progress, stop));
        }
        catch (OperationCanceledException)
        {
            // A stopped comparison is no "same".
            throw StopException.Wrong(report is null ? "stopped before every frame was compared"
                : "stopped before every frame was compared: the same command goes on where it was");
        }
    }

    /// <exception cref="StopException">No folder for the merged report was named.</exception>
    public CompareAnswer Merge(IReadOnlyList<string> folders) => report is null
        ? throw StopException.Wrong("--merge needs --report DIR: where the merged report goes")
        : Answer(ReportMerge.Merge(folders, report));

    private CompareAnswer Answer(SetResult result)
    {
        var page = report is null ? null : ReportWriter.Write(result, report, new ReportOptions { Title = title });
        return new CompareAnswer(result, page, Verdict(result));
    }

    private CompareVerdict Verdict(SetResult result) => result.Count(FrameVerdict.Unreadable) + result.Doubts.Count > 0 ? CompareVerdict.Unreadable
        : result.Frames.Count == 0 ? CompareVerdict.Nothing
        : result.Frames.Any(f => f.IsDifference && !(addedIsFine && f.Verdict == FrameVerdict.Added)) ? CompareVerdict.Different
        : CompareVerdict.Same;
}
