using System.Globalization;
using System.Net;
using System.Text;

namespace StageView.Show.Load;

/// <summary>Power over a show as one page: a table of feeds and phases, and kW along the time.</summary>
public static class LoadPage
{
    private const int Left = 60;
    private const int Width = 1100;
    private const int Height = 260;

    private static readonly double[] s_parts = [.. Enumerable.Range(-4, 10).SelectMany(p => new[] { 1, 2, 5 }.Select(n => n * Math.Pow(10, p)))];

    private static readonly double[] s_times = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14_400];

    // Okabe and Ito (2008): blue, vermilion, green, and black for what has no phase.
    private static readonly string[] s_colours = ["#000000", "#0072B2", "#D55E00", "#009E73"];
    private static readonly string[] s_dashes = ["1 3", "none", "8 3", "3 3"];

    /// <param name="name">The rig's name.</param>
    /// <param name="answer">What was found.</param>
    public static string Write(string name, LoadAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var b = new StringBuilder();
        b.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>")
            .Append(Html($"Load of {name}")).Append("</title>\n<style>\n")
            .Append("body{font:15px/1.45 sans-serif;margin:2em auto;padding:0 1em;max-width:1120px;color:#111;")
            .Append("background:#fff}\nsvg{width:100%;min-width:700px;height:auto}.wide{overflow-x:auto}table{border-collapse:collapse}\n")
            .Append("th,td{border-bottom:1px solid #bbb;padding:.2em .9em .2em 0;text-align:right}th:first-child,td:first-child{text-align:left}\n")
            .Append("b.over{color:#a64900}</style></head><body>\n<h1>").Append(Html($"Load of {name}")).Append("</h1>\n<p>").Append(Html(Head(answer)))
            .Append("</p>\n<p><b>").Append(Html(LoadAnswer.Caution)).Append("</b></p>\n");
        foreach (var line in Notes(answer))
        {
            b.Append("<p>").Append(Html(line)).Append("</p>\n");
        }

        foreach (var feed in answer.Feeds)
        {
            b.Append("<h2>").Append(Html(Name(feed))).Append("</h2>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"")
                .Append(Html(Name(feed))).Append("\">").Append(Lines(answer, feed)).Append("</div>\n").Append(Table(feed));
        }

        return b.Append("</body></html>\n").ToString();
    }

    /// <summary>One line: energy, mean, worst second.</summary>
    public static string Head(LoadAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        return Text($"{answer.Kwh:0.###} kWh over {answer.Seconds:0.#} s, {answer.MeanKw:0.00} kW on average; worst second {answer.Worst.Kw:0.00} kW at ")
            + At(answer.Worst) + Text($"; all at full {answer.FullKw:0.00} kW");
    }

    /// <summary>What the figures leave out or assume, a text each.</summary>
    public static IReadOnlyList<string> Notes(LoadAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var notes = new List<string>();
        if (answer.NoPower.Count > 0)
        {
            notes.Add($"counted as nothing, for want of \"power\" in the profile: {string.Join(", ", answer.NoPower)}");
        }

        if (answer.NoCurve.Count > 0)
        {
            notes.Add($"taken in proportion to their level, for want of \"load\" in the profile: {string.Join(", ", answer.NoCurve)}");
        }

        if (answer.NoPhase > 0)
        {
            notes.Add(Text($"{answer.NoPhase} fixtures have no phase stated and are in no neutral current"));
        }

        return notes;
    }

    /// <summary>What a feed is called.</summary>
    public static string Name(FeedLoad feed)
    {
        ArgumentNullException.ThrowIfNull(feed);
        return (feed.Feed.Length > 0 ? feed.Feed : "no feed stated") + Text($", {feed.Volts:0} V")
            + (feed.SaidAmps is { } a ? Text($", {a:0.#} A a phase as said") : "");
    }

    /// <summary>A time and its label.</summary>
    public static string At(WorstSecond worst)
    {
        ArgumentNullException.ThrowIfNull(worst);
        return Text($"{worst.At:0.0} s") + (worst.Timecode is { } label ? $" ({label})" : "");
    }

    /// <summary>A current, which what has no phase has none of.</summary>
    public static string Amps(PhaseLoad phase, double amps)
    {
        ArgumentNullException.ThrowIfNull(phase);
        return phase.Phase == 0 ? "-" : Text($"{amps:0.0}");
    }

    /// <summary>The neutral's current, in words.</summary>
    public static string Neutral(FeedLoad feed)
    {
        ArgumentNullException.ThrowIfNull(feed);
        return feed.Phases.Any(p => p.Phase > 0) ? Text($"Neutral: at most {feed.NeutralAmps:0.0} A over a second, at {feed.NeutralAt:0.0} s.")
            : "No phase is stated, so nothing is said of currents.";
    }

    private static string Table(FeedLoad feed)
    {
        var b = new StringBuilder("<table><thead><tr><th scope=\"col\">Phase</th><th scope=\"col\">Fixtures</th><th scope=\"col\">All at full kW</th>")
            .Append("<th scope=\"col\">Mean kW</th><th scope=\"col\">Worst second kW</th><th scope=\"col\">at</th><th scope=\"col\">A</th>")
            .Append("<th scope=\"col\">Peak A</th><th scope=\"col\">kWh</th></tr></thead><tbody>\n");
        foreach (var p in feed.Phases)
        {
            var over = feed.SaidAmps is { } a && p.Phase > 0 && Math.Max(p.WorstAmps, p.PeakAmps) > a;
            b.Append("<tr><td>").Append(Phase(p.Phase)).Append(over ? " <b class=\"over\">over</b>" : "")
                .Append(Text($"</td><td>{p.Fixtures}</td><td>{p.FullKw:0.00}</td><td>{p.MeanKw:0.00}</td><td>{p.Worst.Kw:0.00}</td><td>"))
                .Append(Html(At(p.Worst))).Append(Text($"</td><td>{Amps(p, p.WorstAmps)}</td><td>{Amps(p, p.PeakAmps)}</td><td>{p.Kwh:0.###}</td></tr>\n"));
        }

        return b.Append("</tbody></table>\n<p>").Append(Html(Neutral(feed) + " "
            + Text($"Worst second of the feed: {feed.Worst.Kw:0.00} kW at ") + At(feed.Worst)
            + Text($"; {feed.Kwh:0.###} kWh."))).Append("</p>\n").ToString();
    }

    private static string Lines(LoadAnswer answer, FeedLoad feed)
    {
        var rows = answer.Series.Where(r => r.Feed == feed.Feed).ToList();
        var top = Math.Max(.001, rows.SelectMany(r => r.Kw).DefaultIfEmpty().Max()) * 1.1;
        var scale = (Width - Left - 10) / Math.Max(answer.SeriesSeconds, answer.Seconds);
        double Y(double kw) => Height - 30 - (kw / top * (Height - 50));
        var b = new StringBuilder(Text($"<svg viewBox=\"0 0 {Width} {Height}\" role=\"img\" font-size=\"12\"><title>kW along the show</title>\n"));
        for (var kw = 0.0; kw <= top; kw += Step(top, s_parts))
        {
            b.Append(Text($"<path d=\"M{Left} {Y(kw):0.0}H{Width - 10}\" stroke=\"#ddd\"/>"))
                .Append(Text($"<text x=\"{Left - 6}\" y=\"{Y(kw) + 4:0.0}\" text-anchor=\"end\">{kw:0.###}</text>"));
        }

        for (var t = 0.0; t <= answer.Seconds; t += Step(answer.Seconds, s_times))
        {
            b.Append(Text($"<text x=\"{Left + (t * scale):0.0}\" y=\"{Height - 10}\" text-anchor=\"middle\">{(int)t / 60}:{t % 60:00}</text>\n"));
        }

        foreach (var r in rows)
        {
            var points = string.Join(' ', r.Kw.Select((kw, i) => Text($"{Left + ((i + .5) * answer.SeriesSeconds * scale):0.0},{Y(kw):0.0}")));
            b.Append(Text($"<polyline points=\"{points}\" fill=\"none\" stroke=\"{s_colours[r.Phase]}\" "))
                .Append(Text($"stroke-width=\"2\" stroke-dasharray=\"{s_dashes[r.Phase]}\"/>"))
                .Append(Text($"<text x=\"{Left + 8 + (r.Phase * 110)}\" y=\"14\" fill=\"{s_colours[r.Phase]}\">{Phase(r.Phase)}</text>\n"));
        }

        return b.Append("</svg>\n").ToString();
    }

    /// <summary>The least round step of which at most six lie below an end.</summary>
    private static double Step(double end, double[] steps) => steps.FirstOrDefault(s => end / s <= 6, steps[^1]);

    private static string Phase(int phase) => phase == 0 ? "no phase" : Text($"L{phase}");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static string Html(string text) => WebUtility.HtmlEncode(text);
}
