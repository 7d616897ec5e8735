using System.Globalization;
using StageView.Ground.Words;
using StageView.Rig.Checks;
using StageView.Rig.Source;

namespace StageView.App.Printing;

/// <summary>How a checked rig file is told.</summary>
internal static class CheckPrint
{
    /// <summary>Lines told of each profile before the rest is only counted.</summary>
    private const int MostLines = 20;

    private static string Amount(float value, string unit) => string.Create(CultureInfo.InvariantCulture, $"{value:0.##} {unit}");

    public static void Print(IReadOnlyList<RigProblem> problems, RigSummary? summary)
    {
        foreach (var p in problems)
        {
            Console.WriteLine(p);
        }

        if (summary is null)
        {
            Console.WriteLine($"{Counted.Of(problems.Count(p => p.Severity == ProblemSeverity.Error), "error")}: the rig can't be used as written");
            return;
        }

        Console.WriteLine(summary.Name);
        Answers.Table(
            ["type", "mode", "count", "addresses each"],
            summary.Types.Select(t => (string[])[t.Profile, t.Mode, $"{t.Count}", $"{t.Footprint}"]));
        Answers.Table(
            ["universe", "used", "first free"],
            summary.Universes.Select(u => (string[])[$"{u.Universe}", $"{u.Used}", u.FirstFree > 512 ? "none" : $"{u.FirstFree}"]));
        Console.WriteLine(
            $"{Counted.Of(summary.Fixtures, "fixture")}, {Counted.Of(summary.Universes.Count, "universe")}, "
            + $"{Counted.Of(summary.AddressesUsed, "address", "addresses")}, {Counted.Of(summary.Pixels, "pixel")}");
        Console.WriteLine(
            $"{Counted.Of(summary.Beams, "beam")}, {Counted.Of(summary.Lasers, "laser")}, {Counted.Of(summary.Mirrors, "mirror")}, "
            + $"{Counted.Of(summary.SceneryPieces, "piece")} of scenery, {Counted.Of(summary.Cameras, "camera")}");
        if (summary.Unpatched.Count > 0)
        {
            Console.WriteLine($"not patched: {string.Join(", ", summary.Unpatched)}");
        }

        foreach (var m in summary.Measured)
        {
            Console.WriteLine($"{m.File} beside its photometric file");
            Answers.Table(["part", "value", "profile", "file", "may part by", ""], m.Values.Select(v => (string[])
            [
                v.Beam, v.What, Amount(v.Stated, v.Unit), Amount(v.Measured, v.Unit), Amount(v.Allowed, v.Unit), v.IsApart ? "apart" : "fits",
            ]));
        }

        foreach (var p in summary.PassedOver)
        {
            foreach (var line in p.Lines.Take(MostLines))
            {
                Console.WriteLine($"{p.File}: not simulated or not understood: {line}");
            }

            if (p.Lines.Count > MostLines)
            {
                Console.WriteLine($"{p.File}: and {p.Lines.Count - MostLines} more; --json lists all");
            }
        }

        foreach (var line in summary.NotTakenOver.Take(MostLines))
        {
            Console.WriteLine("not taken over by the import: " + line);
        }

        if (summary.NotTakenOver.Count > MostLines)
        {
            Console.WriteLine($"not taken over by the import: {summary.NotTakenOver.Count - MostLines} more; --json lists all");
        }

        foreach (var change in summary.VenueChanges)
        {
            Console.WriteLine("venue: " + change);
        }

        Console.WriteLine(problems.Count == 0 ? "nothing wrong was found in the file" : Counted.Of(problems.Count, "warning"));
    }
}
