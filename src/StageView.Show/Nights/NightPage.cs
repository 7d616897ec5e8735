using System.Globalization;
using System.Net;
using System.Text;
using StageView.Ground.Words;
using StageView.Show.Load;
using StageView.Show.Recordings;
using StageView.Stage.Changes;

namespace StageView.Show.Nights;

/// <summary>Two nights on one page.</summary>
public static class NightPage
{
    private const int MostRows = 300;

    /// <param name="answer">What was found.</param>
    public static string Write(NightAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var (a, b) = (answer.First.Network, answer.Second.Network);
        var text = new StringBuilder();
        text.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>")
            .Append(Html($"{b.Capture} beside {a.Capture}")).Append("</title>\n<style>\n")
            .Append("body{font:15px/1.45 sans-serif;margin:2em auto;padding:0 1em;max-width:1120px;color:#111;background:#fff}h2{margin-top:1.8em}\n")
            .Append("table{border-collapse:collapse}th,td{border-bottom:1px solid #bbb;padding:.2em 1em .2em 0;text-align:left;vertical-align:top}\n")
            .Append(".wide{overflow-x:auto}@media print{tr{break-inside:avoid}}\n</style></head><body>\n");
        text.Append("<h1>").Append(Html($"{b.Capture} beside {a.Capture}")).Append("</h1>\n<p>").Append(Html(Summary(answer))).Append("</p>\n");
        Table(text, "", ["", "First", "Second"], [
            ["capture", a.Capture, b.Capture],
            ["began", Began(a), Began(b)],
            ["length", F(a.Seconds, "0.0") + " s", F(b.Seconds, "0.0") + " s"],
            ["energy", F(answer.First.Load.Kwh, "0.###") + " kWh", F(answer.Second.Load.Kwh, "0.###") + " kWh"],
            ["worst second", Worst(answer.First.Load), Worst(answer.Second.Load)],
            ["jumps and dropouts of timecode", F(answer.First.Dropouts.Count, "0"), F(answer.Second.Dropouts.Count, "0")],
            ["faults of the network", Faults(a), Faults(b)]]);
        foreach (var doubt in answer.Doubts)
        {
            text.Append("<p><b>").Append(Html(doubt)).Append("</b></p>\n");
        }

        Table(text, "Late and early cues", ["Cue", "First", "Second", "Later by"], answer.Late.Select(l => (string[])
            [l.Title + (l.Followers > 0 ? $", and {l.Followers} after it" : ""), At(l.FirstAt, l.FirstTimecode), At(l.SecondAt, l.SecondTimecode),
                l.LateSeconds is { } s ? F(s, "0.00") + " s" : "in one night alone"]),
            answer.TwoVenues ? "Not compared between two venues or rigs, where changes look different." : "Every cue came when it should.");
        List(text, "Units that stayed dark", answer.WentDark, "Every unit that lit in the first night lit in the second.");
        List(text, "Units that lit in neither", answer.NeverLit, "Every patched unit lit.");
        Table(text, "Looks that changed", ["From", "To", "Fixture", "What", "First", "Second"], Rows(answer.Looks), "Every fixture did the same.");
        if (answer.TwoVenues)
        {
            Table(text, "Light that landed elsewhere", ["From", "To", "Fixture", "Off", "First", "Second"], answer.Landings.Select(p => (string[])
                [F(p.From, "0.00"), F(p.To, "0.00"), p.Name, F(p.Second, "0.00") + " m", p.FirstText, p.SecondText]), "All light landed where it did.");
        }

        List(text, "In one night alone", answer.Missing, "Both have the same universes and contents.");
        foreach (var (name, side) in new[] { ("first", answer.First), ("second", answer.Second) })
        {
            List(text, $"Timecode of the {name} night", [.. side.Dropouts.Select(e => e.ToString()!)], side.Network.Timecode.Count > 0
                ? "It ran without a jump or dropout." : "There is none.");
            Table(text, $"Network of the {name} night", ["What", "When"], side.Network.Findings.Select(f => (string[])
                [(f.Finding.Stands ? "fault: " : "") + RecordingPage.What(f), RecordingPage.When(f)]), "Nothing wrong was found.");
        }

        return text.Append("<p>").Append(Html(LoadAnswer.Caution)).Append("</p>\n</body></html>\n").ToString();
    }

    /// <summary>One sentence: what was different.</summary>
    public static string Summary(NightAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var looks = answer.Looks.Select(p => p.Name).Distinct().Count();
        return $"Times matched {answer.Alignment}. {Counted.Of(answer.Late.Count, "cue")} at another time, {Counted.Of(looks, "fixture")} with another look, "
            + (answer.TwoVenues ? $"{Counted.Of(answer.Landings.Select(p => p.Name).Distinct().Count(), "fixture")} landing elsewhere, " : "")
            + $"{Counted.Of(answer.WentDark.Count, "unit")} that stayed dark, {F(answer.Second.Load.Kwh - answer.First.Load.Kwh, "+0.###;-0.###;0")} kWh.";
    }

    private static IEnumerable<string[]> Rows(IReadOnlyList<Parting> partings) =>
        partings.GroupBy(p => (From: Math.Round(p.From, 2), To: Math.Round(p.To, 2), p.Attribute)).OrderBy(g => g.Key.From).Select(g =>
        {
            var worst = g.MaxBy(p => Math.Abs(p.First - p.Second))!;
            var names = g.Select(p => p.Name).Distinct().ToList();
            var who = names.Count > 3 ? $"{names[0]} and {names.Count - 1} more" : string.Join(", ", names);
            return (string[])[F(g.Key.From, "0.00"), F(g.Key.To, "0.00"), who, g.Key.Attribute,
                Value(worst.First, worst.Unit, worst.FirstText), Value(worst.Second, worst.Unit, worst.SecondText)];
        });

    private static void Table(StringBuilder text, string title, string[] heads, IEnumerable<string[]> rows, string none = "")
    {
        var all = rows.ToList();
        text.Append(title.Length > 0 ? $"<h2>{Html(title)}</h2>\n" : "");
        if (all.Count == 0)
        {
            text.Append("<p>").Append(Html(none)).Append("</p>\n");
            return;
        }

        text.Append("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"").Append(Html(title.Length > 0 ? title : "The nights"))
            .Append("\"><table><thead><tr>").AppendJoin("", heads.Select(h => $"<th scope=\"col\">{Html(h)}</th>")).Append("</tr></thead><tbody>\n");
        foreach (var row in all.Take(MostRows))
        {
            text.Append("<tr>").AppendJoin("", row.Select(c => $"<td>{Html(c)}</td>")).Append("</tr>\n");
        }

        text.Append("</tbody></table></div>\n").Append(all.Count > MostRows ? $"<p>{all.Count - MostRows} more.</p>\n" : "");
    }

    private static void List(StringBuilder text, string title, IReadOnlyList<string> items, string none)
    {
        text.Append("<h2>").Append(Html(title)).Append("</h2>\n");
        text.Append(items.Count == 0 ? $"<p>{Html(none)}</p>\n" : "<ul>" + string.Concat(items.Take(MostRows).Select(i => $"<li>{Html(i)}</li>")) + "</ul>\n");
    }

    private static string Began(RecordingAnswer a) => a.FirstRecordAt.UtcDateTime.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) + " UTC";

    private static string Faults(RecordingAnswer a) => F(a.Findings.Count(f => f.Finding.Stands), "0");

    private static string Worst(LoadAnswer load) => $"{F(load.Worst.Kw, "0.00")} kW at {LoadPage.At(load.Worst)}";

    private static string At(double? seconds, string? label) => seconds is not { } s ? "-" : F(s, "0.00") + " s" + (label is null ? "" : $" ({label})");

    private static string Value(double value, string unit, string text)
    {
        var number = F(value, "0.###") + (unit.Length > 0 ? " " + unit : "");
        return text.Length > 0 ? $"{text} ({number})" : number;
    }

    private static string F(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);

    private static string Html(string text) => WebUtility.HtmlEncode(text);
}
