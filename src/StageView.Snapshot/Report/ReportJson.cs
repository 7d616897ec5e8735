using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Report;

/// <summary>The answer as JSON.</summary>
public sealed record ReportJson
{
    public const string FormatNow = "stageview-report/1";

    public string Format { get; init; } = FormatNow;

    public required string Base { get; init; }

    public required string New { get; init; }

    public required bool Same { get; init; }

    public required string Summary { get; init; }

    public required IReadOnlyList<Cause> Causes { get; init; }

    /// <summary>Why the answer is of a part only; empty when it is of the whole.</summary>
    public IReadOnlyList<string> Doubts { get; init; } = [];

    public required IReadOnlyList<FrameResult> Frames { get; init; }

    public static ReportJson Of(SetResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        return new ReportJson
        {
            Base = result.BaseFolder,
            New = result.NewFolder,
            Same = !result.IsDifference,
            Summary = result.Summary(),
            Causes = result.Causes,
            Doubts = result.Doubts,
            Frames = result.Frames,
        };
    }

    /// <summary>Back to a result, for merging what several shards answered.</summary>
    public SetResult ToResult() => new() { BaseFolder = Base, NewFolder = New, Frames = Frames, Causes = Causes, Doubts = Doubts };
}
