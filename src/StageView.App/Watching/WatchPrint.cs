using System.Globalization;
using System.Text;
using System.Text.Json;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show.Questions;
using StageView.Wire.Clock;
using StageView.Wire.Health;
using StageView.Wire.Tallies;

namespace StageView.App.Watching;

/// <summary>How the state of the network is printed: as a screen that is drawn over, as a summary, as JSON lines.</summary>
internal static class WatchPrint
{
    private static readonly JsonSerializerOptions s_line = new(Answers.Json) { WriteIndented = false };

    public static void JsonLine(string type, NetworkLook look) =>
        Console.WriteLine(JsonSerializer.Serialize(
            new
            {
                type, health = look.Health,
                timecode = look.Timecode is { } t ? new
                {
                    t.Label, t.Rate, t.Runs, t.From, t.AlsoFrom, events = t.Events.Select(e => e.ToString()),
                    t.Happened
                } : null,
                findings = look.Findings
            }, s_line));

    /// <summary>Draws over the screen before: cursor home, each line cleared to its end, the rest cleared.</summary>
    public static void Screen(NetworkLook look)
    {
        var text = new StringBuilder("\u001b[H");
        foreach (var line in Lines(look, Math.Max(10, Console.WindowHeight - 2)))
        {
            text.Append(line.Length > Console.WindowWidth - 1 ? line[..Math.Max(1, Console.WindowWidth - 1)] : line).Append("\u001b[K\n");
        }

        Console.Write(text.Append("\u001b[J"));
    }

    public static void Summary(NetworkLook look)
    {
        foreach (var line in Lines(look, int.MaxValue))
        {
            Console.WriteLine(line);
        }

        var standing = look.Findings.Count(f => f.Stands);
        Console.WriteLine(standing > 0 ? Counted.Of(standing, "finding stands", "findings stand")
            : look.SaysNothing ?? "nothing wrong was found in what was heard");
    }

    private static IEnumerable<string> Lines(NetworkLook look, int most)
    {
        var (health, timecode, findings) = look;
        var told = FindingGroups.Of(findings);
        var drops = health.KernelDrops is { } d ? $"{d} dropped by this machine" : "drops not told by this system";
        yield return string.Create(CultureInfo.InvariantCulture,
            $"{health.At,7:F1} s   {Counted.Of(health.Taken, "packet")} taken, {health.Malformed} malformed, {Counted.Of(health.Ignored, "other")}, "
            + $"{drops}{(health.PreviewRefused > 0 ? $", {health.PreviewRefused} of preview refused" : "")}");
        if (timecode is { } t)
        {
            yield return Text(
                $"timecode {t.Label} ({TimecodeRateText.Of(t.Rate)}, {(t.Runs ? "runs" : "stands")}) from {t.From}{(t.AlsoFrom is { } other ? $" and {other}: "
                + $"two senders of timecode" : "")}");
            for (var i = 0; i < t.Events.Count; i++)
            {
                yield return i == 1 && t.Happened > t.Events.Count
                    ? Text($"  {t.Events[i]} (after {t.Happened - t.Events.Count} more)")
                    : "  " + t.Events[i];
            }
        }

        yield return "";
        yield return
            "universe  from                                     state      wins  prio  pkt/s  jitter ms  missing  late  twice  addresses  seen s  sync";
        var lines = 3 + (timecode is null ? 0 : 1 + timecode.Events.Count);
        foreach (var universe in health.Universes)
        {
            foreach (var s in universe.Sources)
            {
                if (++lines > most - Math.Min(told.Count, 10) - 2)
                {
                    yield return "...";
                    goto findings;
                }

                var label = s.Label.Length > 40 ? s.Label[..40] : s.Label;
                var share = Text($"{s.Share.Wins}/{s.Share.Of}");
                var sync = s.SyncAddress == 0 ? "" : $"{s.SyncAddress}";
                yield return string.Create(CultureInfo.InvariantCulture,
                    $"{universe.Universe,8}  {label,-40} {FindingWords.State(s),-7} {share,7} {s.Priority,5}{(s.PerAddressPriority ? "*" : " ")} "
                    + $"{s.PacketsPerSecond,5:F1} {s.JitterMilliseconds,10:F1} {s.Missing,8} {s.OutOfOrder,5} {s.Duplicates,6} {s.Slots,10} "
                    + $"{s.SecondsSinceSeen,7:F1}  {sync}");
                if (s.Share.Use != SourceUse.InForce || s.Share.Wins < s.Share.Of || s.Preview)
                {
                    lines++;
                    yield return $"          {FindingWords.Share(s)}";
                }
            }
        }

    findings:
        foreach (var sender in health.Senders.Where(x => x.Offers is not null).Take(8))
        {
            yield return Text(
                $"{(sender.Name.Length == 0 ? sender.Address : $"'{sender.Name}'")} offers {AddressRanges.Write(sender.Offers!)} (universe discovery)");
        }

        yield return "";
        foreach (var f in told.Take(most == int.MaxValue ? int.MaxValue : 10))
        {
            yield return (f.Stands ? "! " : "- ") + f.Text;
        }
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
