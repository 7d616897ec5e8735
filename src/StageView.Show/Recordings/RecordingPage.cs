using System.Globalization;
using System.Net;
using System.Text;
using StageView.Ground.Words;

namespace StageView.Show.Recordings;

/// <summary>A recording's network as one page for a browser or a printer: what was wrong and when, every source along the time, timecode.</summary>
public static class RecordingPage
{
    private const int Left = 300;
    private const int Width = 1100;
    private const int Lane = 20;

    // Okabe and Ito (2008): vermilion, blue, and a grey.
    private const string Fault = "#D55E00";
    private const string Wins = "#0072B2";
    private const string Quiet = "#8a8a8a";

    private static readonly double[] s_steps = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200];

    /// <summary>The page's text.</summary>
    public static string Write(RecordingAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var b = new StringBuilder();
        b.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>")
            .Append(Html($"{answer.Capture}: the network")).Append("</title>\n<style>\n")
            .Append("body{font:15px/1.45 sans-serif;margin:2em auto;padding:0 1em;max-width:1120px;color:#111;background:#fff}\n")
            .Append("svg{width:100%;min-width:700px;height:auto}.wide{overflow-x:auto}table{border-collapse:collapse;width:100%}\n")
            .Append("th,td{border-bottom:1px solid #bbb;padding:.2em .8em .2em 0;text-align:left;vertical-align:top}td.n{text-align:right}\n")
            .Append("b.fault{color:#a64900}h2{margin-top:1.8em}@media print{tr{break-inside:avoid}}\n</style></head><body>\n");
        b.Append("<h1>").Append(Html(answer.Capture)).Append("</h1>\n<p>").Append(Html(Head(answer))).Append("</p>\n");
        foreach (var problem in answer.Problems)
        {
            b.Append("<p><b class=\"fault\">").Append(Html(problem)).Append("</b></p>\n");
        }

        b.Append("<h2>What stood out</h2>\n");
        b.Append(answer.Findings.Count > 0 ? Findings(answer)
            : $"<p>{Html(answer.End.SaysNothing ?? "Nothing wrong was found in what was recorded.")}</p>\n");
        b.Append("<h2>Along the recording</h2>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Along the recording\">").Append(Lanes(answer))
            .Append("</div>\n<p>Thick: in force. Thin: heard, and not in force. Orange: a fault stood.</p>\n");
        b.Append("<h2>Sources</h2>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Sources\">").Append(Sources(answer)).Append("</div>\n");
        if (answer.Timecode.Count > 0)
        {
            b.Append("<h2>Timecode</h2>\n<ul>").AppendJoin("", answer.Timecode.Take(500).Select(e => $"<li>{Html($"{e}")}</li>")).Append("</ul>\n");
            b.Append(answer.Timecode.Count > 500 ? $"<p>{answer.Timecode.Count - 500} more.</p>\n" : "");
        }

        return b.Append("</body></html>\n").ToString();
    }

    /// <summary>One line: rig, beginning, length, packets.</summary>
    public static string Head(RecordingAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var health = answer.End.Health;
        return string.Create(CultureInfo.InvariantCulture,
                $"{answer.Rig}: {Length(answer.Seconds)} from {answer.FirstRecordAt.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC, ")
            + string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(health.Taken, "packet")} taken, {health.Malformed} malformed, {Counted.Of(health.Ignored, "other")}")
            + (answer.Skipped > 0 ? string.Create(CultureInfo.InvariantCulture, $", {Counted.Of(answer.Skipped, "record")} without a whole datagram") : "");
    }

    /// <summary>What was found, in words.</summary>
    public static string What(HeardFinding found)
    {
        ArgumentNullException.ThrowIfNull(found);
        return found.Finding.Text.Replace(" in the last ", " within ", StringComparison.Ordinal);
    }

    /// <summary>When something was so, in words: its first times, and how often and how long altogether.</summary>
    public static string When(HeardFinding found)
    {
        ArgumentNullException.ThrowIfNull(found);
        var times = string.Join(", ", found.Times.Take(3).Select(t => Length(t.From) + (t.To - t.From < .75 ? "" : " to " + Length(t.To))
            + (t.Timecode is { } label ? $" ({label})" : "")));
        return found.Spells <= 3 ? times : string.Create(CultureInfo.InvariantCulture,
            $"{times} and {found.Spells - 3} times more, {Length(found.Seconds)} altogether");
    }

    private static string Length(double seconds)
    {
        var tenths = (long)Math.Round(seconds * 10);
        return tenths < 600 ? string.Create(CultureInfo.InvariantCulture, $"{tenths / 10.0:0.0} s")
            : tenths < 36_000 ? string.Create(CultureInfo.InvariantCulture, $"{tenths / 600}:{tenths % 600 / 10.0:00.0}")
            : string.Create(CultureInfo.InvariantCulture, $"{tenths / 36_000}:{tenths / 600 % 60:00}:{tenths % 600 / 10.0:00.0}");
    }

    private static string Findings(RecordingAnswer answer)
    {
        var b = new StringBuilder("<table><thead><tr><th scope=\"col\">What</th><th scope=\"col\">When</th></tr></thead><tbody>\n");
        foreach (var f in answer.Findings)
        {
            b.Append("<tr><td>").Append(f.Finding.Stands ? "<b class=\"fault\">fault</b> " : "").Append(Html(What(f))).Append("</td><td>")
                .Append(Html(When(f))).Append("</td></tr>\n");
        }

        return b.Append("</tbody></table>\n").ToString();
    }

    private static string Sources(RecordingAnswer answer)
    {
        var b = new StringBuilder("<table><thead><tr><th scope=\"col\">Universe</th><th scope=\"col\">Source</th><th scope=\"col\">Packets</th>")
            .Append("<th scope=\"col\">Missing</th><th scope=\"col\">Packets a second</th><th scope=\"col\">Heard</th></tr></thead><tbody>\n");
        foreach (var s in answer.Sources)
        {
            b.Append(CultureInfo.InvariantCulture, $"<tr><td class=\"n\">{s.Universe}</td><td>{Html(s.Source)}</td><td class=\"n\">{s.Packets}</td>")
                .Append(CultureInfo.InvariantCulture, $"<td class=\"n\">{s.Missing}</td><td>{s.SlowestPerSecond:0.0} to {s.FastestPerSecond:0.0}</td>")
                .Append("<td>").Append(Html(string.Join(", ", s.Times.Take(4).Select(t => $"{Length(t.From)} to {Length(t.To)}")))).Append("</td></tr>\n");
        }

        return b.Append("</tbody></table>\n").ToString();
    }

    private static string Lanes(RecordingAnswer answer)
    {
        var faults = answer.Findings.Where(f => f.Finding.Stands).ToList();
        var height = ((faults.Count + answer.Sources.Count) * Lane) + 40;
        var b = new StringBuilder().Append(CultureInfo.InvariantCulture,
            $"<svg viewBox=\"0 0 {Width} {height}\" role=\"img\" aria-label=\"Faults and sources along the recording\" font-size=\"12\">\n");
        var scale = (Width - Left - 10) / Math.Max(1, answer.Seconds);
        var step = s_steps.FirstOrDefault(s => answer.Seconds / s <= 12, 7200);
        for (var t = 0.0; t <= answer.Seconds; t += step)
        {
            var x = Left + (t * scale);
            b.Append(CultureInfo.InvariantCulture, $"<path d=\"M{x:0.0} 20V{height}\" stroke=\"#ddd\"/>")
                .Append(CultureInfo.InvariantCulture, $"<text x=\"{x:0.0}\" y=\"14\" text-anchor=\"middle\">{Axis(t)}</text>\n");
        }

        var y = 24;
        foreach (var f in faults)
        {
            Row(b, y, What(f), f.Times, scale, Fault, 12);
            y += Lane;
        }

        foreach (var s in answer.Sources)
        {
            Row(b, y, string.Create(CultureInfo.InvariantCulture, $"{s.Universe}: {s.Source}"), s.Times, scale, Quiet, 4);
            Row(b, y, "", s.Wins, scale, Wins, 10);
            y += Lane;
        }

        return b.Append("</svg>\n").ToString();
    }

    private static string Axis(double t) => t < 60 ? string.Create(CultureInfo.InvariantCulture, $"{t:0}")
        : t < 3600 ? string.Create(CultureInfo.InvariantCulture, $"{(int)t / 60}:{t % 60:00}")
        : string.Create(CultureInfo.InvariantCulture, $"{(int)t / 3600}:{(int)t / 60 % 60:00}:{t % 60:00}");

    private static void Row(StringBuilder b, int y, string name, IReadOnlyList<HeardSpell> times, double scale, string colour, int thick)
    {
        if (name.Length > 0)
        {
            var shown = name.Length > 46 ? name[..45] + "…" : name;
            b.Append(CultureInfo.InvariantCulture, $"<text x=\"0\" y=\"{y + 13}\">{Html(shown)}<title>{Html(name)}</title></text>");
        }

        foreach (var t in times)
        {
            b.Append(CultureInfo.InvariantCulture, $"<rect x=\"{Left + (t.From * scale):0.0}\" y=\"{y + 9 - (thick / 2)}\" ")
                .Append(CultureInfo.InvariantCulture, $"width=\"{Math.Max(1.5, (t.To - t.From) * scale):0.0}\" height=\"{thick}\" fill=\"{colour}\">")
                .Append(CultureInfo.InvariantCulture, $"<title>{Html($"{Length(t.From)} to {Length(t.To)}")}</title></rect>");
        }

        b.Append('\n');
    }

    private static string Html(string text) => WebUtility.HtmlEncode(text);
}
