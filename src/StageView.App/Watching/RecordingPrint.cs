using System.Globalization;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show.Recordings;

namespace StageView.App.Watching;

/// <summary>How the network of a recording is printed.</summary>
internal static class RecordingPrint
{
    private const int MostEvents = 20;

    public static void Print(RecordingAnswer answer)
    {
        Console.WriteLine($"{answer.Capture}: {RecordingPage.Head(answer)}");
        foreach (var e in answer.Timecode.Take(MostEvents))
        {
            Console.WriteLine($"  timecode at {e}");
        }

        if (answer.Timecode.Count > MostEvents)
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {answer.Timecode.Count - MostEvents} more"));
        }

        Console.WriteLine();
        Answers.Table(["universe", "source", "packets", "missing", "slowest /s", "fastest /s", "heard"], answer.Sources.Select(s => (string[])
            [Text($"{s.Universe}"), s.Source, Text($"{s.Packets}"), Text($"{s.Missing}"), Text($"{s.SlowestPerSecond:F1}"), Text($"{s.FastestPerSecond:F1}"),
                Text($"{s.Times.Sum(t => t.To - t.From):F1} s")]));
        foreach (var f in answer.Findings)
        {
            Console.WriteLine($"{(f.Finding.Stands ? "!" : "-")} {RecordingPage.What(f)}");
            Console.WriteLine($"    {RecordingPage.When(f)}");
        }

        var faults = answer.Findings.Count(f => f.Finding.Stands);
        Console.WriteLine(faults > 0 ? Counted.Of(faults, "fault stood", "faults stood")
            : answer.End.SaysNothing ?? "nothing wrong was found in what was recorded");
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
