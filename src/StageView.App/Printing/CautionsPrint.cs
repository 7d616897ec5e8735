using StageView.Ground.Words;
using StageView.Light.Cautions;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How cautions are told to people and programs.</summary>
internal static class CautionsPrint
{
    private const string Deference =
        "These are reasons to look, worked out from the rig file and the levels; nothing here says that anything is safe. "
        + "For lasers the laser safety officer, and for all of it local code and licensed practice, decide. Keep the usual distances, masks and emergency "
        + "stops; test with nobody in the path.";

    public static void Print(RigScene rig, CautionsAnswer answer, bool json)
    {
        var findings = answer.Findings;
        if (json)
        {
            Answers.WriteJson(new
            {
                rig = rig.Name,
                moments = answer.Moments,
                volumes = answer.Volumes.Select(v => v.Name),
                laserLimit = answer.LaserLimit,
                findings = findings.Select(f => new
                {
                    kind = f.Worst.Kind,
                    volume = f.Worst.Volume.Name,
                    crew = f.Worst.Volume.IsCrew,
                    fixture = Fixture(rig, f.Worst.Fixture),
                    bounces = f.Worst.Bounces,
                    point = Array(f.Worst.Point),
                    pathMetres = f.Worst.PathMetres,
                    lux = f.Worst.Lux,
                    irradiance = f.Worst.Irradiance,
                    hazardDistance = f.Worst.HazardDistance,
                    seconds = f.Times.Select(t => new[] { t.From, t.To }),
                }),
                strobes = answer.Strobes,
                caution = Deference,
            });
            return;
        }

        if (answer.Volumes.Count == 0)
        {
            Console.WriteLine($"{rig.File} names no audience or crew volumes; add them under \"volumes\", or nothing can be found");
        }

        var beams = findings.Where(f => f.Worst.Kind == CautionKind.Beam).ToList();
        var lasers = findings.Where(f => f.Worst.Kind != CautionKind.Beam).ToList();
        if (beams.Count > 0)
        {
            Answers.Table(
                ["beam of", "by way of", "into", "up to lx", "at x, y, z", "path m", "when s"],
                beams.Select(f => (string[])[Fixture(rig, f.Worst.Fixture), Way(f.Worst.Bounces), Into(f.Worst), F(f.Worst.Lux, "0"), Point(f.Worst.Point),
                    F(f.Worst.PathMetres), When(answer, f)]));
        }

        if (lasers.Count > 0)
        {
            Answers.Table(
                ["laser", "by way of", "what", "volume", "W/m2 there", "hazard distance m", "path m", "at x, y, z", "when s"],
                lasers.Select(f => (string[])
                [
                    Fixture(rig, f.Worst.Fixture), Way(f.Worst.Bounces),
                    f.Worst.Kind == CautionKind.Laser ? "enters" : $"passes within {F(answer.Settings.LaserSeparation)} m of",
                    Into(f.Worst), F(f.Worst.Irradiance), F(f.Worst.HazardDistance), F(f.Worst.PathMetres), Point(f.Worst.Point), When(answer, f),
                ]));
            Console.WriteLine(
                $"laser limit used: {F(answer.LaserLimit, "0.00")} W/m2 for {F(answer.Settings.ExposureSeconds, "0.###")} s of visible light (18 t^0.75 J/m2, "
                + $"IEC 60825-1); scanning, hot spots and instruments are not considered");
        }

        foreach (var s in answer.Strobes.OrderByDescending(s => s.Rate))
        {
            Console.WriteLine($"strobe: {s.Fixture} {s.Channel} at {F(s.Rate)} flashes a second, first at {F(s.From, "0.0")} s");
        }

        if (!answer.Any)
        {
            Console.WriteLine(
                $"nothing found by this check ({Counted.Of(answer.Moments, "moment")}, {Counted.Of(answer.Volumes.Count, "volume")}, beams from "
                + $"{F(answer.Settings.LeastLux, "0")} lx)");
        }

        Console.WriteLine(Deference);
    }

    private static string Way(int bounces) => bounces == 0 ? "direct" : Counted.Of(bounces, "mirror");

    private static string Into(Caution c) => c.Volume.Name + (c.Volume.IsCrew ? " (crew)" : "");

    private static string When(CautionsAnswer answer, CautionFound f) => answer.Moments == 1 ? F(f.Times[0].From)
        : string.Join(" ", f.Times.Take(6).Select(t => t.From == t.To ? F(t.From) : $"{F(t.From)}-{F(t.To)}")) + (f.Times.Count > 6 ? " ..." : "");
}
