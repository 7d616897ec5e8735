using System.Globalization;
using StageView.Ground.Words;
using StageView.Show.Refocus;

namespace StageView.App.Printing;

/// <summary>How positions in a new venue are told to people and programs.</summary>
internal static class RefocusPrint
{
    private const int MostLines = 60;

    public static void Print(RefocusAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(Plain(answer));
            return;
        }

        Console.WriteLine($"{answer.Tour}: from {Venue(answer.From)} to {Venue(answer.To)}");
        var told = answer.Rows.Where(r => r.State != RefocusState.Kept || r.Remark.Length > 0).ToList();
        if (told.Count > 0)
        {
            Answers.Table(
                ["state", "fixture", "pos", "first used", "for", "pan", "tilt", "was", "lux", "spot", ""],
                told.Take(MostLines).Select(r => (string[])
                [
                    RefocusFiles.Said(r.State), r.Fixture, r.Position.ToString(CultureInfo.InvariantCulture),
                    r.Cues.Count > 0 ? r.Cues[0] : r.Times[0].ToString("0.0 s", CultureInfo.InvariantCulture), r.Anchor.Text, Degrees(r.NewPan),
                    Degrees(r.NewTilt), $"{Degrees(r.OldPan)}/{Degrees(r.OldTilt)}", Factor(r.LuxFactor), Factor(r.SpotFactor), r.Remark,
                ]));
        }

        if (told.Count > MostLines)
        {
            Console.WriteLine($"and {told.Count - MostLines} more (--json and --out have all)");
        }

        Console.WriteLine($"{Counted.Of(answer.Rows.Count, "position")} of {Counted.Of(answer.Rows.Select(r => r.Fixture).Distinct().Count(), "fixture")}: "
            + string.Join(", ", answer.Rows.GroupBy(r => r.State).OrderBy(g => g.Key).Select(g => $"{g.Count()} {RefocusFiles.Said(g.Key)}")));
        foreach (var line in RefocusAxes.Lines(answer))
        {
            Console.WriteLine(line);
        }

        foreach (var not in answer.NotAsked)
        {
            Console.WriteLine("looked at: " + not);
        }

        Console.WriteLine("what may be pointed where is decided on site; no open format carries a console's stored positions: an operator stores them");
    }

    /// <summary>For programs.</summary>
    public static object Plain(RefocusAnswer answer) => new
    {
        answer.Tour, from = answer.From, to = answer.To, answer.NotAsked,
        rows = answer.Rows.Select(r => new
        {
            state = RefocusFiles.Said(r.State), r.Fixture, number = r.FixtureNumber, r.Hang, r.Position, r.Times, r.Cues,
            anchor = new { kind = r.Anchor.Kind, text = r.Anchor.Text, r.Anchor.Why, at = (float[])[r.Anchor.Place.X, r.Anchor.Place.Y, r.Anchor.Place.Z] },
            old = new { pan = r.OldPan, tilt = r.OldTilt }, now = r.NewPan is null ? null : new { pan = r.NewPan, tilt = r.NewTilt },
            r.LuxFactor, r.SpotFactor, r.Zoom, r.ZoomThatHolds, r.LuxFactorHeld, r.DimmerThatHolds, r.Optics,
            cone = r.Cone.Select(c => new { what = c.What, effect = RefocusFiles.Said(c.Effect), c.Share, c.Before }), r.Channels, r.LateSeconds, r.Detail,
        }),
        answer.Winches, answer.Mirrors,
    };

    private static string Venue(string name) => name.Length > 0 ? name : "the rig as it is";

    private static string Degrees(float? v) => v?.ToString("0.00", CultureInfo.InvariantCulture) ?? "–";

    private static string Factor(double? v) => v is { } f ? f.ToString("0.00", CultureInfo.InvariantCulture) + " x" : "–";
}
