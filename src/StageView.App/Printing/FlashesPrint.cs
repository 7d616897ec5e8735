using StageView.Light.Cautions.Comfort;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Series;
using StageView.Show.Cautions;
using static StageView.Show.Cautions.FlashTexts;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How flashes and bright light are told to people and programs.</summary>
internal static class FlashesPrint
{
    private const int MostRows = 40;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    /// <summary>A line that is rewritten on a terminal, and now and then a line elsewhere (a log); none for what is soon done.</summary>
    public static Action<double> Reporter(TextWriter to, bool terminal, FlashesAsked asked)
    {
        var from = TimeProvider.System.GetTimestamp();
        var told = -1;
        return seconds =>
        {
            var done = (int)((seconds - asked.From) / (asked.To - asked.From) * (terminal ? 100 : 10));
            if (done == told || TimeProvider.System.GetElapsedTime(from) < Patience)
            {
                return;
            }

            told = done;
            var last = seconds + asked.Step > asked.To;
            var text = $"{Clock(seconds)} of {Clock(asked.To)}";
            if (terminal)
            {
                to.Write($"\r{text}        {(last ? "\n" : "")}");
            }
            else
            {
                to.WriteLine(text);
            }
        };
    }

    public static void Print(FlashesAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(Document(answer));
            return;
        }

        if (!answer.AnythingChecked)
        {
            Console.WriteLine("nothing could be checked: there is no place to look from");
            NotChecked(answer);
            Console.WriteLine("Name an audience volume under \"volumes\" or a camera under \"cameras\" in the rig file. That nothing was found says nothing.");
            return;
        }

        Places(answer);
        Spells(answer);
        Strobes(answer);
        Cues(answer);
        BrightMoments(answer);
        if (!answer.Any)
        {
            Console.WriteLine("nothing above the limits was found by this check; that is no promise that nothing flashes");
        }

        foreach (var c in answer.Checked)
        {
            Console.WriteLine($"checked: {c.What} ({c.Count})");
        }

        foreach (var l in answer.Checked.SelectMany(c => c.Limits).DistinctBy(l => l.Key))
        {
            Console.WriteLine($"limit {l.Key} = {F(l.Value, "0.####")}{(l.Unit.Length > 0 ? " " + l.Unit : "")}: {l.Meaning} ({l.Source})");
        }

        NotChecked(answer);
        Console.WriteLine(Deference);
    }

    private static void NotChecked(FlashesAnswer answer)
    {
        foreach (var n in answer.NotChecked)
        {
            Console.WriteLine($"not checked: {n.What}: {n.Why}");
        }
    }

    private static void Places(FlashesAnswer answer) => Answers.Table(
        ["place", "at x, y, z", "general /s", "red /s", "up to lx at the eye", "at"],
        answer.Places.Select(p =>
        {
            var (lux, when) = p.Comfort?.WorstIlluminances is [var b, ..] ? (F(b.Lux), Clock(b.Seconds)) : ("-", "-");
            return (string[])[p.Place.Name, Point(p.Place.Eye), $"{p.Most(FlashKind.General)}", $"{p.Most(FlashKind.Red)}", lux, when];
        }));

    private static void Spells(FlashesAnswer answer)
    {
        var spells = answer.Places.SelectMany(p => p.Spells.Select(s => (p.Place.Name, s.Rule, s.Spell))).OrderBy(s => s.Spell.From).ToList();
        if (spells.Count > 0)
        {
            Answers.Table(
                ["flashes seen from", "when", "for s", "kind", "up to a second", "area", "cue", "by"],
                spells.Take(MostRows).Select(s => (string[])[s.Name, Clock(s.Spell.From, s.Spell.To), F(s.Spell.Seconds), Kind(s.Spell.Kind),
                    s.Spell.Flashes == 32 ? "32+" : $"{s.Spell.Flashes}", Share(s.Spell.AreaShare), answer.CueAt(s.Spell.From), s.Rule]));
        }

        More(spells.Count);
        var kept = answer.Places.Sum(p => p.SpellCount - p.Spells.Count());
        if (kept > 0)
        {
            Console.WriteLine($"{kept} more were counted, of which the worst stand above");
        }
    }

    private static void Strobes(FlashesAnswer answer)
    {
        if (answer.Strobes.Count > 0)
        {
            Answers.Table(
                ["strobing fixture", "when", "for s", "flashes a second", "read from", "cue"],
                answer.Strobes.Take(MostRows).Select(s => (string[])[s.Fixture, Clock(s.From, s.To), F(s.To - s.From), Rate(s.Rate),
                    s.FromLevels ? "its shutter's level" : "its light", answer.CueAt(s.From)]));
        }

        More(answer.Strobes.Count);
    }

    private static void More(int count)
    {
        if (count > MostRows)
        {
            Console.WriteLine($"and {count - MostRows} more, all of them in --json and on the timeline");
        }
    }

    private static void Cues(FlashesAnswer answer)
    {
        if (answer.Cues.Count > 0)
        {
            Answers.Table(
                ["cue", "from", "worst place", "flashes a second", "kind", "area", "fastest fixture", "its rate"],
                answer.Cues.Select(c => (string[])[c.Name, Clock(c.From), c.Place.Length > 0 ? c.Place : "-", c.Flashes > 0 ? $"{c.Flashes}" : "-",
                    c.Flashes > 0 ? Kind(c.Kind) : "-", c.Flashes > 0 ? Share(c.AreaShare) : "-", c.Strobe.Length > 0 ? c.Strobe : "-",
                    c.Strobe.Length > 0 ? Rate(c.StrobeRate) : "-"]));
        }
    }

    private static void BrightMoments(FlashesAnswer answer)
    {
        var moments = answer.Places.Where(p => p.Comfort is not null)
            .SelectMany(p => p.Comfort!.WorstIlluminances.Select(m => (p.Place.Name, Moment: m)))
            .OrderByDescending(m => m.Moment.Lux).Take(ComfortWatch.Worst).ToList();
        if (moments.Count > 0)
        {
            Answers.Table(
                ["brightest moments at", "when", "lx at the eye", "brightest cell cd/m2", "mean of the field cd/m2", "cue"],
                moments.Select(m => (string[])[m.Name, Clock(m.Moment.Seconds), F(m.Moment.Lux, "0.0"), F(m.Moment.BrightestCandela, "0"),
                    F(m.Moment.MeanCandela, "0.0"), answer.CueAt(m.Moment.Seconds)]));
        }
    }

    private static object Document(FlashesAnswer answer) => new
    {
        rig = answer.Rig,
        from = answer.Asked.From,
        to = answer.Asked.To,
        every = answer.Asked.Step,
        moments = answer.Moments,
        anythingChecked = answer.AnythingChecked,
        aboveLimits = answer.Any,
        @checked = answer.Checked.Select(c => new { what = c.What, count = c.Count, limits = c.Limits.Select(l => l.Key) }),
        notChecked = answer.NotChecked,
        limits = answer.Limits.All,
        places = answer.Places.Select(p => new
        {
            name = p.Place.Name,
            kind = p.Place.Camera is null ? "seat" : "camera",
            volume = p.Place.Volume,
            crew = p.Place.IsCrew,
            eye = Array(p.Place.Eye),
            lookAt = Array(p.Place.LookAt),
            mostGeneral = p.Most(FlashKind.General),
            mostRed = p.Most(FlashKind.Red),
            spells = p.Spells.Select(s => new
            {
                rule = s.Rule, kind = s.Spell.Kind, from = s.Spell.From, to = s.Spell.To, flashes = s.Spell.Flashes, areaShare = s.Spell.AreaShare,
                cue = answer.CueAt(s.Spell.From),
            }),
            spellCount = p.SpellCount,
            generalFlashes = Curve(p.Wcag.Series(FlashKind.General)),
            redFlashes = Curve(p.Wcag.Series(FlashKind.Red)),
            comfort = p.Comfort is not { } c ? null : new
            {
                illuminance = Curve(c.Illuminance),
                brightest = Curve(c.BrightestLuminance),
                mean = Curve(c.MeanLuminance),
                worstIlluminances = c.WorstIlluminances,
                worstLuminances = c.WorstLuminances,
            },
        }),
        strobes = answer.Strobes,
        cues = answer.Cues,
        notice = FlashNotice.Of(answer),
        caution = Deference,
    };

    /// <summary>Stretches of a curve, each with its begin, least and largest value.</summary>
    private static object Curve(DecimatedSeries series) => new
    {
        seconds = Math.Round(series.Width, 6),
        points = series.Points.Select(p => (double[])[Math.Round(p.From, 4), Math.Round(p.Least, 4), Math.Round(p.Largest, 4)]),
    };
}
