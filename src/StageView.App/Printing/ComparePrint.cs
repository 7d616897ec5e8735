using StageView.Ground.Words;
using StageView.Show.Snap;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.App.Printing;

/// <summary>How comparisons are told to people and programs.</summary>
internal static class ComparePrint
{
    /// <summary>Causes printed for a frame; the report has all of them.</summary>
    private const int CausesShown = 6;

    /// <summary>Says a frame that differs, and now and then how far it is.</summary>
    public static void Progress(SetProgress p)
    {
        if (p.Last.OtherLevels.Count > 0)
        {
            Console.WriteLine($"{p.Done,5}/{p.Total}  {p.Last.Name}: {FrameWords.Say(p.Last)}");
        }
        else if (p.Last.IsDifference)
        {
            Console.WriteLine($"{p.Done,5}/{p.Total}  {p.Last.Name}: {FrameWords.Say(p.Last)}");
            var causes = CauseFold.Of(p.Last.Causes);
            foreach (var cause in causes.Take(CausesShown))
            {
                Console.WriteLine("             " + FrameWords.Say(cause));
            }

            if (causes.Count > CausesShown)
            {
                Console.WriteLine($"             and {causes.Count - CausesShown} more");
            }
        }
        else if (p.Done % 50 == 0 || p.Done == p.Total)
        {
            Console.WriteLine($"{p.Done,5}/{p.Total}");
        }
    }

    /// <summary>Says what differs and why.</summary>
    public static void Print(CompareAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(ReportJson.Of(answer.Result));
            return;
        }

        if (answer.Result.Resumed > 0)
        {
            Console.WriteLine($"{Counted.Of(answer.Result.Resumed, "frame was", "frames were")} answered by an earlier run (--afresh asks anew)");
        }

        Print(answer.Result, answer.Page);
    }

    private static void Print(SetResult result, string? page)
    {
        foreach (var cause in result.Causes)
        {
            Console.WriteLine("as a whole: " + cause.Text + (cause.Follows is { } f ? $"  (may follow from: {f})" : ""));
        }

        foreach (var group in result.Frames.Where(f => f.Settings.Count > 0).GroupBy(f => string.Join(", ", f.Settings)))
        {
            Console.WriteLine($"tolerances of {Counted.Of(group.Count(), "frame")}: {group.Key}");
        }

        Console.WriteLine(result.Summary());
        if (page is not null)
        {
            Console.WriteLine(page);
        }
    }
}
