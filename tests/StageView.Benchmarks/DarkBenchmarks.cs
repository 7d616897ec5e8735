using System.Diagnostics;
using System.Text;
using System.Text.Json;
using StageView.Benchmarks.Planted;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;

namespace StageView.Benchmarks;

/// <summary>Fifty dark pairs, half changed faintly, half only noisy: what each comparer catches at its defaults, and its false alarms.</summary>
public static class DarkBenchmarks
{
    private static readonly string _rivals = Path.Combine("tests", "StageView.Benchmarks", "rivals");

    /// <summary>A row for each kind of pair, for the page.</summary>
    public static string Table { get; private set; } = "";

    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            return Run(folder);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static List<Figure> Run(string folder)
    {
        var pairs = DarkPairs.All().ToList();
        var columns = new List<(string Name, int[] Counts)>
        {
            ("StageView, default", Ours(CompareSettings.Default)), ("StageView, another renderer", Ours(CompareSettings.OtherRenderer)),
            ("StageView, perceptual", Ours(CompareSettings.Default with { Mode = CompareMode.Perceptual })),
        };
        for (var i = 0; i < pairs.Count; i++)
        {
            FrameFile.Save(pairs[i].Before, Path.Combine(folder, $"{i:00}-before.png"));
            FrameFile.Save(pairs[i].After, Path.Combine(folder, $"{i:00}-after.png"));
        }

        columns.AddRange(Rivals(folder, pairs.Count));
        var text = new StringBuilder($"| pairs of 480x270 | {string.Join(" | ", columns.Select(c => c.Name))} |\n| --- |");
        text.Insert(text.Length, " --- |", columns.Count).Append('\n');
        foreach (var kind in pairs.Select((p, i) => (p, i)).GroupBy(p => (p.p.Change, Noise: p.p.Change is null ? p.p.Noise : null)))
        {
            var cells = columns.Select(c => kind.Count(p => c.Counts[p.i] != 0)).Select(n => kind.Key.Change is not null ? $"{n} of {kind.Count()} caught"
                : $"{n} of {kind.Count()} alarms");
            text.Append($"| {(kind.Key.Change ?? "noise alone: " + kind.Key.Noise)} | {string.Join(" | ", cells)} |\n");
        }

        Table = text.ToString();
        return [.. columns.SelectMany(c => Figures(c.Name, c.Counts))];

        int[] Ours(CompareSettings settings) => [.. pairs.Select(p => FrameComparer.Compare(p.Before, p.After, settings) is { Verdict: FrameVerdict.Changed } r
            ? r.ChangedPixels : 0)];
        IEnumerable<Figure> Figures(string name, int[] counts)
        {
            var stem = $"dark.{name.Replace("StageView, ", "", StringComparison.Ordinal).Replace(' ', '_')}";
            var changed = pairs.Count(p => p.Change is not null);
            var caught = pairs.Where((p, i) => p.Change is not null && counts[i] != 0).Count();
            var alarms = pairs.Where((p, i) => p.Change is null && counts[i] != 0).Count();
            yield return new Figure(stem + ".caught", caught, "pairs", $"{changed} pairs changed", (double)caught / changed);
            yield return new Figure(stem + ".alarms", alarms, "pairs", $"{pairs.Count - changed} pairs only noisy", (double)alarms / (pairs.Count - changed));
        }
    }

    private static IEnumerable<(string Name, int[] Counts)> Rivals(string folder, int count)
    {
        if (!Directory.Exists(Path.Combine(_rivals, "node_modules", "odiff-bin")))
        {
            Start("npm", ["install", "--no-save", "--no-audit", "--no-fund"]);
        }

        if (Start("node", ["dark.mjs", folder, $"{count}"]) is not { } said)
        {
            Console.Error.WriteLine($"bench: no odiff and pixelmatch beside ours: node and npm are missing, or 'npm install --no-save' in {_rivals}");
            yield break;
        }

        using var json = JsonDocument.Parse(said);
        foreach (var rival in json.RootElement.EnumerateObject())
        {
            yield return (rival.Name, [.. rival.Value.EnumerateArray().Select(v => v.GetInt32())]);
        }
    }

    private static string? Start(string program, string[] args)
    {
        try
        {
            using var process = Process.Start(new ProcessStartInfo(program, args) { WorkingDirectory = _rivals, RedirectStandardOutput = true })!;
            var said = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            return process.ExitCode == 0 ? said : null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }
}
