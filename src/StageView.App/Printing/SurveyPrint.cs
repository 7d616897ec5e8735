using StageView.Light.Geometry;
using StageView.Show.Questions;
using StageView.Show.Survey;
using StageView.Stage.Survey;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>Prints where the rig really hangs.</summary>
internal static class SurveyPrint
{
    public static void Print(SurveyAnswer answer, AngleSpread spread, bool json)
    {
        if (json)
        {
            Answers.WriteJson(Document(answer, spread));
            return;
        }

        Answers.Table(
            ["part", "heads", "sightings", "moved by x, y, z m", "± mm", "turned by x, y, z °", "± °", "is"],
            answer.Parts.Select(Row));
        var tried = answer.Parts.Where(p => p.Fit is not null && p.State != SurveyState.Weak).ToList();
        if (tried.Count > 0)
        {
            Answers.Table(["part", "head", "mark", "pan", "tilt", "off °", "off mm", "checked", ""], tried.SelectMany(Sightings));
        }

        foreach (var p in answer.Parts.Where(p => p.State != SurveyState.Known))
        {
            Console.WriteLine($"{p.Part.Name} is {Word(p.State)}: {p.Why}.");
            Console.WriteLine($"  {char.ToUpperInvariant(p.Cure[0])}{p.Cure[1..]}{(p.Cure.EndsWith('?') ? "" : ".")}");
        }

        Console.WriteLine("Moved: the middle of the heads that were aimed, in the rig's coordinates. ±: one standard deviation, with "
            + $"{F(Degrees(spread.Axis), "0.###")} degrees stated for pan and tilt and {F(Degrees(spread.Centring), "0.###")} for aiming by eye.");
        Console.WriteLine("For looking and planning: what may hang where is decided by a qualified rigger.");
        Console.WriteLine(EyeCaution.Text);
    }

    private static string[] Row(SurveyedPart p)
    {
        string[] found = p is { State: not SurveyState.Weak, Fit: { } fit, Deviations: { } known }
            ? [Three(fit.Moved, "0.000"), Three(known.Metres * 1000, "0"), Three(fit.Motion.Degrees(), "0.00"), Three(known.Degrees, "0.00")]
            : ["", "", "", ""];
        return [p.Part.Name, F(p.Heads, "0"), F(p.Sightings.Count, "0"), .. found, Word(p.State)];
    }

    private static IEnumerable<string[]> Sightings(SurveyedPart p) => p.Sightings.Select((s, i) => new[]
    {
        p.Part.Name, s.Sighting.Fixture.Name, s.Sighting.Mark, F(s.Pan, "0.00"), F(s.Tilt, "0.00"), F(Degrees(p.Fit!.Sightings[i].Angle), "0.00"),
        F(p.Fit.Sightings[i].Miss * 1000, "0"), F(100 * p.Fit.Sightings[i].Checked, "0") + " %", i == p.Worst ? "worst" : "",
    });

    private static object Document(SurveyAnswer answer, AngleSpread spread) => new
    {
        answer.Name,
        AllKnown = answer.AllKnown,
        SigmaDegrees = Degrees(spread.Axis),
        CentringDegrees = Degrees(spread.Centring),
        Parts = answer.Parts.Select(p => new
        {
            Part = p.Part.Name,
            p.State,
            Why = p.Why.Length > 0 ? p.Why : null,
            Cure = p.Cure.Length > 0 ? p.Cure : null,
            p.Heads,
            Middle = Of(p.Fit?.Middle),
            MovedBy = Of(p.Fit?.Moved),
            TurnedByDegrees = Of(p.Fit?.Motion.Degrees()),
            DeviationsMetres = Of(p.Deviations?.Metres),
            DeviationsDegrees = Of(p.Deviations?.Degrees),
            Covariance = Rows(p.Fit?.Covariance),
            Cost = p.Fit?.Cost,
            Freedom = p.Fit?.Freedom,
            Worst = p.Worst < 0 ? null : (int?)p.Worst,
            Sightings = p.Sightings.Select((s, i) => new
            {
                Fixture = s.Sighting.Fixture.Name,
                s.Sighting.Mark,
                s.Pan,
                s.Tilt,
                s.Sighting.Place.Line,
                OffDegrees = p.Fit is { } a ? Degrees(a.Sightings[i].Angle) : (double?)null,
                OffMetres = p.Fit?.Sightings[i].Miss,
                Test = p.Fit?.Sightings[i].Test,
                Checked = p.Fit?.Sightings[i].Checked,
            }),
        }),
        Move = SurveyVenue.Moves(answer).Select(m => new { m.What, Alone = true, By = Of(m.By), Turn = Of(m.Turn), m.Why }),
    };

    private static string Word(SurveyState state) => state switch
    {
        SurveyState.Known => "known",
        SurveyState.Doubtful => "doubtful",
        _ => "not known",
    };

    private static string Three(Vector3d v, string format) => $"{F(Plain(v.X), format)}, {F(Plain(v.Y), format)}, {F(Plain(v.Z), format)}";

    /// <summary>Without a sign on what is shown as zero.</summary>
    private static double Plain(double v) => Math.Round(v, 3) + 0.0;

    private static double Degrees(double radians) => radians * 180 / Math.PI;

    private static double[]? Of(Vector3d? v) => v is { } p ? [p.X, p.Y, p.Z] : null;

    private static double[][]? Rows(double[,]? m) =>
        m is null ? null : [.. Enumerable.Range(0, 6).Select(r => Enumerable.Range(0, 6).Select(c => m[r, c]).ToArray())];
}
