using StageView.Ground.Words;
using StageView.Light.Cautions;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How cautions are told to people and programs.</summary>
internal static class CautionsPrint
{
    public static void Print(RigScene rig, CautionsAnswer answer, bool json)
    {
        if (json)
        {
            Json(rig, answer);
            return;
        }

        Lights(rig, answer);
        Lasers(rig, answer);
        Strobes(answer);
        Moving(answer);
        if (CautionWords.NothingChecked(rig, answer) is { } why)
        {
            Console.WriteLine(why);
        }
        else if (!answer.Any)
        {
            Console.WriteLine($"nothing found by this check in {Counted.Of(answer.Moments, "moment")} and {Counted.Of(answer.Volumes.Count, "volume")}");
        }

        Console.WriteLine("looked at, with these limits:");
        foreach (var line in CautionWords.Looked(answer))
        {
            Console.WriteLine("  " + line);
        }

        Console.WriteLine("not looked at:");
        foreach (var line in CautionWords.NotLooked(answer))
        {
            Console.WriteLine("  " + line);
        }

        Console.WriteLine(CautionWords.Deference);
    }

    private static void Lights(RigScene rig, CautionsAnswer answer)
    {
        var rows = answer.Light.Where(f => f.Worst.Kind is CautionKind.Beam or CautionKind.Surface or CautionKind.Total).ToList();
        if (rows.Count > 0)
        {
            Answers.Table(
                ["light of", "by way of", "into", "up to lx", "at x, y, z", "path m", "when s"],
                rows.Select(f => (string[])[Who(rig, f), By(f.Worst), Into(f.Worst), F(Lux(f.Worst), "0"), Point(f.Worst.Point),
                    f.Worst.Kind == CautionKind.Beam ? F(f.Worst.PathMetres) : "", When(answer, f)]));
        }
    }

    private static void Lasers(RigScene rig, CautionsAnswer answer)
    {
        var rows = answer.Light.Where(f => f.Worst.Kind is CautionKind.Laser or CautionKind.LaserNear).ToList();
        if (rows.Count == 0)
        {
            return;
        }

        Answers.Table(
            ["laser", "by way of", "what", "volume", "W/m2 there", "hazard distance m", "path m", "at x, y, z", "when s"],
            rows.Select(f => (string[])
            [
                CautionWords.Who(rig, f), CautionWords.Way(f.Worst.Bounces), f.Worst.Kind == CautionKind.Laser ? "enters" : "passes close to",
                Into(f.Worst), F(f.Worst.Irradiance), F(f.Worst.HazardDistance), F(f.Worst.PathMetres), Point(f.Worst.Point), When(answer, f),
            ]));
        Console.WriteLine(
            $"laser limit used: {F(answer.LaserLimit, "0.00")} W/m2 for {F(answer.Limits.ExposureSeconds, "0.###")} s of visible light (18 t^0.75 J/m2, "
            + "IEC 60825-1), scanned figures by their pulses; hot spots and instruments are not considered");
    }

    private static void Strobes(CautionsAnswer answer)
    {
        // Heads of one chase are one line.
        foreach (var group in answer.Strobes.GroupBy(s => (s.By, Rate: F(s.Rate), From: F(s.From), To: F(s.To))))
        {
            var names = group.Select(s => s.Fixture).ToList();
            var who = string.Join(", ", names.Take(4)) + (names.Count > 4 ? $" and {names.Count - 4} more" : "");
            var by = group.Key.By.Length > 0 ? $", by {group.Key.By}" : ", by the light";
            var when = group.Key.From == group.Key.To ? $"{group.Key.From} s" : $"{group.Key.From}-{group.Key.To} s";
            Console.WriteLine($"strobe: {who} at {group.Key.Rate} flashes a second{by}, {when}");
        }
    }

    private static void Moving(CautionsAnswer answer)
    {
        if (answer.Moving.Count > 0)
        {
            Answers.Table(
                ["moves", "what", "beside", "least m", "up to m/s", "at s", "when s"],
                answer.Moving.Select(m => (string[])
                [
                    m.Count > 1 ? $"{m.Piece} and {m.Count - 1} more" : m.Piece,
                    m.Metres <= 0 ? m.IsVolume ? "through" : "touches or crosses" : m.IsVolume && m.IsOver ? "over" : "near",
                    m.Beside,
                    m.Metres - m.CouldBeMetres < 0.005f ? F(m.Metres, "0.00") : $"{F(m.CouldBeMetres, "0.00")}-{F(m.Metres, "0.00")}",
                    F(m.MetresPerSecond, "0.00"), F(m.At), m.From == m.To ? F(m.From) : $"{F(m.From)}-{F(m.To)}",
                ]));
        }

        if (answer.Closest is { } pair)
        {
            Console.WriteLine($"closest moving pieces: {CautionWords.Moves(pair)}, {F(pair.At)} s");
        }

        if (answer.Closest is not null || answer.Moving.Count > 0)
        {
            Console.WriteLine(CautionWords.Rigger);
        }
    }

    private static void Json(RigScene rig, CautionsAnswer answer) => Answers.WriteJson(new
    {
        rig = rig.Name,
        moments = answer.Moments,
        volumes = answer.Volumes.Select(v => v.Name),
        anythingChecked = answer.AnythingChecked,
        laserLimit = answer.LaserLimit,
        findings = answer.Light.Select(f => new
        {
            kind = f.Worst.Kind,
            volume = f.Worst.Volume.Name,
            crew = f.Worst.Volume.IsCrew,
            fixture = f.Worst.Fixture.IsNone ? null : Fixture(rig, f.Worst.Fixture),
            emitters = f.Emitters,
            bounces = f.Worst.Bounces,
            point = Array(f.Worst.Point),
            pathMetres = f.Worst.PathMetres,
            lux = f.Worst.Lux,
            allRoundLux = f.Worst.AllRoundLux,
            irradiance = f.Worst.Irradiance,
            hazardDistance = f.Worst.HazardDistance,
            at = f.At,
            seconds = f.Times.Select(t => new[] { t.From, t.To }),
        }),
        strobes = answer.Strobes,
        moving = answer.Moving.Select(Moved),
        closest = answer.Closest is { } pair ? Moved(pair) : null,
        speeds = answer.Speeds,
        rows = CautionWords.Of(rig, answer).Select(r => new { r.Kind, r.Text, r.Usual, r.At, r.From, r.To }),
        looked = answer.Checked.Select(c => new { c.What, c.Count, limits = c.Limits }),
        notLooked = answer.NotChecked,
        caution = CautionWords.Deference,
    });

    private static object Moved(MovingFound m) => new
    {
        m.Piece, m.Beside, m.IsVolume, m.IsOver, m.Count, m.Metres, m.CouldBeMetres, m.MetresPerSecond, point = Array(m.Point), m.At, m.From, m.To,
    };

    private static float Lux(Caution c) => c.Kind == CautionKind.Beam ? c.Lux : c.AllRoundLux;

    private static string Who(RigScene rig, CautionFound f) => f.Worst.Kind == CautionKind.Total ? "all together" : CautionWords.Who(rig, f);

    private static string By(Caution c) => c.Kind switch
    {
        CautionKind.Beam => CautionWords.Way(c.Bounces),
        CautionKind.Surface => "pixels, globes",
        _ => "all ways",
    };

    private static string Into(Caution c) => c.Volume.Name + (c.Volume.IsCrew ? " (crew)" : "");

    private static string When(CautionsAnswer answer, CautionFound f) => answer.Moments == 1 ? F(f.Times[0].From)
        : string.Join(" ", f.Times.Take(6).Select(t => t.From == t.To ? F(t.From) : $"{F(t.From)}-{F(t.To)}")) + (f.Times.Count > 6 ? " ..." : "");
}
