using System.Text;
using StageView.Ground.Words;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Report;

/// <summary>The answer as Markdown, short enough for the page that a CI service shows of a run: what differs as a whole, then the frames that differ.</summary>
internal static class MarkdownSummary
{
    private const int MostFrames = 30;
    private const int MostCauses = 12;

    public static string Of(SetResult result, string title)
    {
        var text = new StringBuilder();
        text.Append("## ").Append(Plain(title)).Append("\n\n").Append(Plain(result.Summary())).Append("\n\n");
        foreach (var doubt in result.Doubts)
        {
            text.Append("**").Append(Plain(doubt)).Append("**\n\n");
        }

        List(text, result.Causes.Where(c => c.Follows is null).Select(c => c.Text).ToList(), MostCauses);
        var frames = result.Frames.Where(f => f.IsDifference).ToList();
        if (frames.Count == 0)
        {
            return text.ToString();
        }

        text.Append("| frame | when | what | first cause |\n| --- | --- | --- | --- |\n");
        foreach (var f in frames.OrderByDescending(f => f.ChangedShare).Take(MostFrames))
        {
            var first = CauseFold.Of(f.Causes) is [var cause, ..] ? cause.Text : "";
            text.Append($"| {Cell(f.Name)} | {Cell(f.Timecode ?? (f.Seconds is { } s ? FormattableString.Invariant($"{s:0.##} s") : ""))} | "
                + $"{Cell(FrameWords.Say(f))} | {Cell(first)} |\n");
        }

        return text.Append(frames.Count > MostFrames ? $"\nand {Counted.Of(frames.Count - MostFrames, "more frame")}\n" : "").ToString();
    }

    private static void List(StringBuilder text, List<string> lines, int most)
    {
        foreach (var line in lines.Take(most))
        {
            text.Append("- ").Append(Plain(line)).Append('\n');
        }

        text.Append(lines.Count > most ? $"- and {lines.Count - most} more\n" : "").Append(lines.Count > 0 ? "\n" : "");
    }

    private static string Cell(string text) => Plain(text).Replace("|", "\\|", StringComparison.Ordinal);

    /// <summary>Names may hold what Markdown or HTML would read: they stay text, on one line.</summary>
    private static string Plain(string text)
    {
        var plain = new StringBuilder();
        foreach (var c in text.ReplaceLineEndings(" "))
        {
            plain.Append(c switch { '<' => "&lt;", '>' => "&gt;", '&' => "&amp;", '*' or '_' or '`' or '[' or ']' => "\\" + c, _ => c.ToString() });
        }

        return plain.ToString();
    }
}
