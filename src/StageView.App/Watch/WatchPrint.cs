using System.Globalization;
using System.Text;
using System.Text.Json;
using StageView.Wire.Health;

namespace StageView.App.Watch;

/// <summary>How the state of the network is printed: as a screen that is drawn over, as a summary, as JSON lines.</summary>
internal static class WatchPrint
{
    private static readonly JsonSerializerOptions s_line = new(Answers.Json) { WriteIndented = false };

    public static void JsonLine(string type, WireHealth health, IReadOnlyList<Finding> findings) =>
        Console.WriteLine(JsonSerializer.Serialize(new { type, health, findings }, s_line));

    /// <summary>Draws over the screen before: cursor home, each line cleared to its end, the rest cleared.</summary>
    public static void Screen(WireHealth health, IReadOnlyList<Finding> findings)
    {
        var text = new StringBuilder("\u001b[H");
        foreach (var line in Lines(health, findings, Math.Max(10, Console.WindowHeight - 2)))
        {
            text.Append(line.Length > Console.WindowWidth - 1 ? line[..Math.Max(1, Console.WindowWidth - 1)] : line).Append("\u001b[K\n");
        }

        Console.Write(text.Append("\u001b[J"));
    }

    public static void Summary(WireHealth health, IReadOnlyList<Finding> findings)
    {
        foreach (var line in Lines(health, findings, int.MaxValue))
        {
            Console.WriteLine(line);
        }

        var standing = findings.Count(f => f.Stands);
        Console.WriteLine(standing == 0 ? "nothing wrong was found in what was heard" : $"{standing} {(standing == 1 ? "finding stands" : "findings stand")}");
    }

    private static IEnumerable<string> Lines(WireHealth health, IReadOnlyList<Finding> findings, int most)
    {
        var drops = health.KernelDrops is { } d ? $"{d} dropped by this machine" : "drops not told by this system";
        yield return Text($"{health.At,7:F1} s   {health.Taken} packets taken, {health.Malformed} malformed, {health.Ignored} others, {drops}");
        yield return "";
        yield return "universe  from                                     state  prio  pkt/s  jitter ms  missing  late  twice  addresses  sync";
        var lines = 3;
        foreach (var universe in health.Universes)
        {
            foreach (var s in universe.Sources)
            {
                if (++lines > most - Math.Min(findings.Count, 10) - 2)
                {
                    yield return "...";
                    goto findings;
                }

                var label = s.Label.Length > 40 ? s.Label[..40] : s.Label;
                var state = s.Standing switch { SourceStanding.Live => s.Preview ? "prev" : "live", SourceStanding.Lost => "lost", _ => "ended" };
                var sync = s.SyncAddress == 0 ? "" : $"{s.SyncAddress}";
                yield return Text($"{universe.Universe,8}  {label,-40} {state,-5} {s.Priority,5}{(s.PerAddressPriority ? "*" : " ")} {s.PacketsPerSecond,5:F1} {s.JitterMilliseconds,10:F1} {s.Missing,8} {s.OutOfOrder,5} {s.Duplicates,6} {s.Slots,10}  {sync}");
            }
        }

    findings:
        yield return "";
        foreach (var f in findings.Take(most == int.MaxValue ? int.MaxValue : 10))
        {
            yield return (f.Stands ? "! " : "- ") + f.Text;
        }
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
