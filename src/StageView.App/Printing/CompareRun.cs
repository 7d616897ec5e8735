using StageView.App.Ending;
using StageView.Show;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;

namespace StageView.App.Printing;

/// <summary>Compares and says the answer.</summary>
internal sealed class CompareRun(string? report, string title, bool asJson)
{
    /// <summary>Causes printed for a frame; the report has all of them.</summary>
    private const int CausesShown = 6;

    public int Compare(SetRequest request, bool addedIsFine, CancellationToken stop)
    {
        SetResult result;
        try
        {
            result = SetComparison.Run(request, asJson ? null : Tell, stop);
        }
        catch (OperationCanceledException)
        {
            // A stopped comparison is no "same".
            throw StopException.Wrong(report is null ? "stopped before every frame was compared" : "stopped before every frame was compared: the same command goes on where it was");
        }

        if (result.Resumed > 0 && !asJson)
        {
            Console.WriteLine($"{result.Resumed} frames were answered by an earlier run (--afresh asks anew)");
        }

        return Answer(result, addedIsFine);
    }

    public int Merge(IReadOnlyList<string> folders, bool addedIsFine)
    {
        if (report is null)
        {
            throw StopException.Wrong("--merge needs --report DIR: where the merged report goes");
        }

        return Answer(ReportMerge.Merge(folders, report), addedIsFine);
    }

    private static void Tell(SetProgress p)
    {
        if (p.Last.IsDifference)
        {
            Console.WriteLine($"{p.Done,5}/{p.Total}  {p.Last.Name}: {FrameWords.Say(p.Last)}");
            foreach (var cause in p.Last.Causes.Take(CausesShown))
            {
                Console.WriteLine("             " + FrameWords.Say(cause));
            }

            if (p.Last.Causes.Count > CausesShown)
            {
                Console.WriteLine($"             and {p.Last.Causes.Count - CausesShown} more");
            }
        }
        else if (p.Done % 50 == 0 || p.Done == p.Total)
        {
            Console.WriteLine($"{p.Done,5}/{p.Total}");
        }
    }

    private int Answer(SetResult result, bool addedIsFine)
    {
        var page = report is null ? null : ReportWriter.Write(result, report, new ReportOptions { Title = title });
        if (asJson)
        {
            Answers.WriteJson(ReportJson.Of(result));
        }
        else
        {
            Print(result, page);
        }

        if (result.Count(FrameVerdict.Unreadable) > 0)
        {
            return Exit.WrongQuestion;
        }

        // No frames at all is no answer: in CI that is a broken run, not a pass.
        if (result.Frames.Count == 0)
        {
            throw StopException.Wrong($"there is no frame to compare, neither in {result.BaseFolder} nor in {result.NewFolder}");
        }

        return result.Frames.Any(f => f.IsDifference && !(addedIsFine && f.Verdict == FrameVerdict.Added)) ? Exit.No : Exit.Fine;
    }

    private static void Print(SetResult result, string? page)
    {
        foreach (var cause in result.Causes)
        {
            Console.WriteLine("as a whole: " + cause.Text + (cause.Follows is { } f ? $"  (may follow from: {f})" : ""));
        }

        foreach (var group in result.Frames.Where(f => f.Settings.Count > 0).GroupBy(f => string.Join(", ", f.Settings)))
        {
            Console.WriteLine($"tolerances of {group.Count()} frames: {group.Key}");
        }

        Console.WriteLine(result.Summary());
        if (page is not null)
        {
            Console.WriteLine(page);
        }
    }
}
