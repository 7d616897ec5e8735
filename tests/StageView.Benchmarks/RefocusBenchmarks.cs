using System.Diagnostics;
using System.Globalization;
using StageView.Show.Refocus;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>Another venue for 1,000 heads with 12 positions each; beside reading both rigs and setting the looks, which anything must do.</summary>
public static class RefocusBenchmarks
{
    private const int Looks = 12;

    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            var rig = Path.Combine(folder, "large.rig.jsonc");
            File.WriteAllText(rig, $$"""
                { "name": "Large", "profiles": ["{{Path.Combine(AppContext.BaseDirectory, "assets", "fixtures")}}"], "haze": { "extinction": 0.01 },
                  "parts": [{ "name": "grid", "hangs": [{ "name": "head", "profile": "spot-head", "groups": ["heads"], "number": 1,
                    "grid": { "from": [-24, -10, 9], "acrossStep": [1, 0, 0], "downStep": [0, 1, 0], "columns": 50, "rows": 20 },
                    "patch": { "start": "1.1", "perUniverse": 20 } }] }],
                  "scenery": [{ "name": "floor", "shape": "plane", "size": [100, 100, 1] }] }
                """);
            var venue = Path.Combine(folder, "low.venue.jsonc");
            File.WriteAllText(venue, """{ "name": "Low", "move": [{ "what": "grid", "by": [0, 0, -1] }] }""");
            for (var k = 0; k < Looks; k++)
            {
                File.WriteAllText(Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"{k:00}.look.jsonc")), string.Create(
                    CultureInfo.InvariantCulture,
                    $"{{ \"set\": [{{ \"fixtures\": \"heads\", \"dimmer\": 1, \"zoom\": 8, \"aim\": {{ \"from\": [{-20 + (3 * k)}, {k - 9}, 0], "
                    + $"\"to\": [{20 - k}, {9 - (2 * k)}, 0] }} }}] }}"));
            }

            var process = Process.GetCurrentProcess();
            var start = process.TotalProcessorTime;
            using var before = new LooksShow(RigFiles.Open(rig), folder);
            using var after = new LooksShow(RigFiles.Open(rig, venue), folder);
            process.Refresh();
            var opened = process.TotalProcessorTime;
            var answer = RefocusRun.Answer(before, after, before.Looks);
            process.Refresh();
            var (reading, solving) = ((opened - start).TotalSeconds, (process.TotalProcessorTime - opened).TotalSeconds);
            if (answer.Rows.Count < 11_000 || answer.Rows.Any(r => r.NewPan is null))
            {
                throw new InvalidOperationException($"{answer.Rows.Count} positions were worked out");
            }

            yield return new Figure("refocus.1000x12", solving, "s CPU", "reading rigs and looks", solving / reading);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
