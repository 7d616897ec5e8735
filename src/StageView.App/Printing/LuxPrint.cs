using StageView.Ground.Words;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How illuminance is told to people and programs.</summary>
internal static class LuxPrint
{
    private const int MostNamed = 6;
    private static readonly string[] s_parts = ["of it direct", "of it indirect"];

    public static void Print(RigScene rig, LuxAnswer answer, IReadOnlyList<string> files, bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                rig = rig.Name,
                seconds = answer.Moment.Time.TotalSeconds,
                measure = answer.Asked.Measure,
                throughHaze = !answer.Asked.ClearAir,
                indirect = answer.Asked.Indirect,
                areas = answer.Areas.Select(m => new
                {
                    place = m.Place, columns = m.Map.Grid.CountU, rows = m.Map.Grid.CountV, average = m.Map.Average,
                    minimum = m.Map.Minimum, maximum = m.Map.Maximum, uniformity = m.Map.Uniformity, minimumOverMaximum = m.Map.Diversity,
                    averageDirect = m.Map.Average - m.Map.AverageIndirect, averageIndirect = m.Map.AverageIndirect,
                    lux = m.Map.Lux, luxIndirect = m.Map.Indirect
                }),
                pieces = answer.Pieces.Select(m => new
                {
                    place = m.Place, average = m.Lux.Average, minimum = m.Lux.Lux.Min(), maximum = m.Lux.Lux.Max(),
                    averageDirect = m.Lux.Average - m.Lux.AverageIndirect, averageIndirect = m.Lux.AverageIndirect
                }),
                points = answer.Points.Select(p => new { point = Array(p.Point), p.Lux, inside = p.Inside.Length > 0 ? p.Inside : null }),
                findings = answer.Asked.IsCheck ? answer.Findings : null,
                files = files,
            });
            return;
        }

        var indirect = answer.Asked.Indirect;
        if (answer.Areas.Count + answer.Pieces.Count > 0)
        {
            Answers.Table(
                ["place", "points", "average lx", .. indirect ? s_parts : [], "minimum", "maximum", "min/average", "min/max"],
                answer.Areas.Select(m => (string[])[m.Place, $"{m.Map.Grid.CountU} x {m.Map.Grid.CountV}", F(m.Map.Average),
                    .. Parts(m.Map.Average, m.Map.AverageIndirect), F(m.Map.Minimum), F(m.Map.Maximum), F(m.Map.Uniformity, "0.00"),
                    F(m.Map.Diversity, "0.00")])
                    .Concat(answer.Pieces.Select(m =>
                        (string[])[m.Place, Counted.Of(m.Lux.Lux.Length, "face"), F(m.Lux.Average), .. Parts(m.Lux.Average, m.Lux.AverageIndirect),
                            F(m.Lux.Lux.Min()), F(m.Lux.Lux.Max()), F(m.Lux.Average > 0 ? m.Lux.Lux.Min() / m.Lux.Average : 0, "0.00"),
                            F(m.Lux.Lux.Max() > 0 ? m.Lux.Lux.Min() / m.Lux.Lux.Max() : 0, "0.00")])));
        }

        if (answer.Points.Count > 0)
        {
            // What was asked for stands first, where it is none of the usual ones.
            var asked = answer.Points[0].Lux.Asked is not null;
            Answers.Table(
                [.. (string[])["point"], .. asked ? (string[])[$"{answer.Asked.Measure} lx"] : [], "horizontal lx", "toward audience", "toward left",
                    "toward right", "toward upstage", "cylindrical", "of it off mirrors", "of it from surfaces",
                    .. indirect ? (string[])["horizontal indirect", "audience indirect", "upstage indirect"] : []],
                answer.Points.Select(p => (string[])[Point(p.Point), .. p.Lux.Asked is { } lux ? (string[])[F(lux)] : [], F(p.Lux.Horizontal),
                    F(p.Lux.TowardAudience), F(p.Lux.TowardLeft), F(p.Lux.TowardRight), F(p.Lux.TowardUpstage), F(p.Lux.Cylindrical),
                    F(p.Lux.HorizontalReflected), F(p.Lux.HorizontalSurface),
                    .. indirect
                        ? (string[])[F(p.Lux.HorizontalIndirect ?? 0), F(p.Lux.TowardAudienceIndirect ?? 0), F(p.Lux.TowardUpstageIndirect ?? 0)] : []]));
        }

        foreach (var p in answer.Points.Where(p => p.Inside.Length > 0))
        {
            Console.WriteLine($"{Point(p.Point)} lies inside {p.Inside}: what is told there is not what lights it; ask for a point before it");
        }

        if (answer.Asked.IsCheck)
        {
            PrintCheck(answer.Findings, indirect);
        }

        foreach (var file in files)
        {
            Console.WriteLine(file);
        }

        Console.WriteLine(answer.Asked.ClearAir ? "in clear air"
            : $"through haze of {F(answer.Moment.Haze.ExtinctionPerMetre, "0.000")} per metre (--clear-air leaves it out)");
        Console.WriteLine(indirect ? "indirect: thrown by floors, walls and people, off mirrors too (--indirect off leaves it out)"
            : "without what floors, walls and people throw on each other");
    }

    private static string[] Parts(double sum, double? indirect) => indirect is { } i ? [F(sum - i), F(i)] : [];

    private static void PrintCheck(IReadOnlyList<FrontLightFinding> findings, bool indirect)
    {
        if (findings.Count == 0)
        {
            Console.WriteLine("front light: every position is within the limits given");
            return;
        }

        Answers.Table(
            ["place", "position", "lx", .. indirect ? s_parts : [], "cylindrical/horizontal", "why", "could reach it, with"],
            findings.Select(f => (string[])
            [
                f.Place, Point(f.Position), F(f.Lux), .. Parts(f.Lux, f.Indirect), F(f.Modelling, "0.00"), f.Why,
                f.Reach is null ? "" : f.Inside.Length > 0 && f.Reach.Count == 0 ? "nothing reaches inside" : f.Reach.Count == 0 ? "none of those named"
                    : string.Join("; ", f.Reach.Take(MostNamed).Select(r => $"{r.Fixture} {F(r.Lux, "0")} lx"))
                    + (f.Reach.Count > MostNamed ? $"; {f.Reach.Count - MostNamed} more (--json names all)" : ""),
            ]));
    }
}
