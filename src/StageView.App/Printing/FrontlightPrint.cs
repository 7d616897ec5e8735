using StageView.Ground.Words;
using StageView.Show.HouseLight;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How front light is told to people and programs.</summary>
internal static class FrontlightPrint
{
    public static void Print(HouseLightAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(Plain(answer));
            return;
        }

        Console.WriteLine($"{answer.Tour} at {(answer.Venue.Length > 0 ? answer.Venue : "the rig as it is")}: {HouseLightFiles.Wanted(answer.Asked)}");
        if (answer.Used.Count > 0)
        {
            var (heads, zooms) = (answer.Used.Any(u => u.Pan is not null || u.Tilt is not null), answer.Used.Any(u => u.Zoom is not null));
            Answers.Table(
                [.. (string[])["lantern", "level", "turn", "down"], .. heads ? (string[])["pan", "tilt"] : [],
                    .. zooms ? (string[])["zoom"] : [], "throw m", "aimed at",
                    "serves"],
                answer.Used.Select(u => (string[])[u.Fixture, F(u.Level * 100, "0") + " %", F(u.Turn), F(u.Down),
                    .. heads ? (string[])[Or(u.Pan), Or(u.Tilt)] : [], .. zooms ? (string[])[Or(u.Zoom)] : [], F(u.Throw), u.AimedAt, u.Serves]));
        }

        Answers.Table(
            ["position", "lx", "modelling", "key", "up", "beside", "left lx", "right lx", ""],
            answer.Positions.Select(p => (string[])[p.Name, F(p.Lux, "0"), F(p.Modelling, "0.00"), p.Key, F(p.KeyAt.Elevation, "0"), F(p.KeyAt.Azimuth, "0"),
                F(p.FromLeft, "0"), F(p.FromRight, "0"), p.ShortBy > 0 ? $"{F(p.ShortBy, "0")} lx short: {p.Why}" : p.Why]));
        if (answer.ToHang.Count > 0)
        {
            Console.WriteLine("the house would have to hang, or something that does the same:");
            Answers.Table(["at", "up", "beside", "throw m", "candela", "over degrees", "for", "lx", ""],
                answer.ToHang.Select(h => (string[])[Point(h.At), F(h.Seen.Elevation, "0"), F(h.Seen.Azimuth, "0"), F(h.Seen.Throw), F(h.Candela, "0"),
                    F(h.ConeDegrees, "0"), h.For, F(h.Lux, "0"), h.Trouble]));
        }

        foreach (var why in answer.Unused.GroupBy(u => u.Why).OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal))
        {
            Console.WriteLine($"not used, {why.Key}: {string.Join(", ", why.Select(u => u.Fixture))}");
        }

        Console.WriteLine($"held at {answer.Positions.Count(p => p.IsHeld)} of {Counted.Of(answer.Positions.Count, "position")}, with "
            + $"{Counted.Of(answer.Used.Count, "lantern")}; evenness (least over mean) {F(answer.Evenness, "0.00")}");
        foreach (var note in answer.Notes)
        {
            Console.WriteLine("looked at: " + note);
        }

        Console.WriteLine(EyeCaution.Text);
    }

    /// <summary>For programs.</summary>
    public static object Plain(HouseLightAnswer answer) => new
    {
        answer.Tour, answer.Venue, least = answer.Asked.Least, answer.Asked.Measure, answer.Asked.Modelling, throughHaze = !answer.Asked.ClearAir,
        held = answer.IsHeld, answer.Evenness,
        positions = answer.Positions.Select(p => new
        {
            p.Name, point = Texts.Array(p.Point), p.Lux, p.ShortBy, p.Modelling, shaped = p.IsShaped, key = p.Key.Length > 0 ? p.Key : null,
            keyElevation = p.KeyAt.Elevation, keyAzimuth = p.KeyAt.Azimuth, p.FromLeft, p.FromRight, why = p.Why.Length > 0 ? p.Why : null,
        }),
        used = answer.Used.Select(u => new
        {
            u.Fixture, u.Number, u.Hang, u.Address, u.Kind, u.AimedAt, target = Texts.Array(u.Target), u.Pan, u.Tilt, u.Turn,
            u.Down, u.Zoom, u.Level, throwMetres = u.Throw, u.Serves,
        }),
        unused = answer.Unused,
        toHang = answer.ToHang.Select(h => new
        {
            at = Texts.Array(h.At), elevation = h.Seen.Elevation, azimuth = h.Seen.Azimuth, throwMetres = h.Seen.Throw, h.Candela, h.ConeDegrees, h.For, h.Lux,
            trouble = h.Trouble.Length > 0 ? h.Trouble : null,
        }),
        answer.Notes, caution = EyeCaution.Text,
    };

    private static string Or(float? v) => v is { } x ? F(x) : "–";
}
