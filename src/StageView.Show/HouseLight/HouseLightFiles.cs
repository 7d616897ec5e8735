using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Json;
using StageView.Ground.Files;
using StageView.Ground.Words;
using StageView.Paperwork.Advance;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Show.Rigs;
using StageView.Stage.Levels;
using StageView.Stage.Looks;
using static StageView.Show.Questions.Texts;

namespace StageView.Show.HouseLight;

/// <summary>What of an answer is taken away: a look, sheets for the crew, a venue file with the lanterns aimed.</summary>
public static class HouseLightFiles
{
    private const int MostBytes = 16 << 20;

    private const string Caution = "Light into eyes can hurt, and heads that move can hit somebody: what may be pointed where is decided on site. What may "
        + "hang where is decided by a qualified rigger.";

    /// <summary>Sheets: where each lantern looks, what each position gets, what the house would have to hang, which lanterns are left over and why.</summary>
    public static IReadOnlyList<PaperTable> Sheets(HouseLightAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var (heads, zooms) = (answer.Used.Any(u => u.Pan is not null || u.Tilt is not null), answer.Used.Any(u => u.Zoom is not null));
        return
        [
            new PaperTable("front-light-focus", "Front light: focus",
                ["Done", "No", "Lantern", "Hang", "Address", "Aimed at", "Which is at", "Turn", "Down", .. heads ? (string[])["Pan", "Tilt"] : [],
                    .. zooms ? (string[])["Zoom"] : [], "Level %", "Throw m", "Serves"],
                [.. answer.Used.Select(u => (IReadOnlyList<string>)["[  ]", u.Number, u.Fixture, u.Hang, u.Address, u.AimedAt, Point(u.Target),
                    F(u.Turn), F(u.Down), .. heads ? (string[])[Or(u.Pan), Or(u.Tilt)] : [],
                    .. zooms ? (string[])[Or(u.Zoom)] : [], F(u.Level * 100, "0"), F(u.Throw), u.Serves])],
                ["Places: metres to the audience's right of the centre line, upstage, and up. Turn: of the axis in plan from straight upstage, degrees, "
                    + "positive to the audience's right. Down: under the level, degrees.", Caution]),
            new PaperTable("front-light-positions", "Front light: positions",
                ["Position", "At", "lx", "Short by lx", "Modelling", "Key", "Up", "Beside", "From left lx", "From right lx", "Why not"],
                [.. answer.Positions.Select(p => (IReadOnlyList<string>)[p.Name, Point(p.Point), F(p.Lux, "0"), p.ShortBy > 0 ? F(p.ShortBy, "0") : "",
                    F(p.Modelling, "0.00"), p.Key, F(p.KeyAt.Elevation, "0"), F(p.KeyAt.Azimuth, "0"), F(p.FromLeft, "0"), F(p.FromRight, "0"), p.Why])],
                [$"Asked: {Wanted(answer.Asked)}.", .. answer.Positions.Where(p => p.Why.Length > 0).Select(p => $"{p.Name}: {p.Why}."), .. answer.Notes]),
            new PaperTable("front-light-to-hang", "Front light: to be hung beside these",
                ["At", "Up", "Beside", "Throw m", "Candela", "Over degrees", "For", "lx", "But"],
                [.. answer.ToHang.Select(Ask)],
                [answer.ToHang.Count == 0 ? "Nothing: every position has what was asked for." : "Candela towards each position: E·d²/cos.", Caution]),
            new PaperTable("front-light-not-used", "Front light: lanterns that are not used", ["Lantern", "Hang", "Why"],
                [.. answer.Unused.Select(u => (IReadOnlyList<string>)[u.Fixture, u.Hang, u.Why])], []),
        ];
    }

    /// <summary>For the advance sheet: what is asked of the house's front light.</summary>
    public static FrontLightSection Section(HouseLightAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var held = answer.Positions.Count(p => p.IsHeld);
        var zooms = answer.Used.Any(u => u.Zoom is not null);
        return new FrontLightSection(
            $"Asked for is {Wanted(answer.Asked)}. With the lanterns below that is held at {held} of {Counted.Of(answer.Positions.Count, "position")}.",
            new PaperTable("used", "", ["lantern", "hang", "address", "aimed at", "which is at", "turn", "down", .. zooms ? (string[])["zoom"] : [], "level %",
                    "serves"],
                [.. answer.Used.Select(u => (IReadOnlyList<string>)[u.Fixture, u.Hang, u.Address, u.AimedAt, Point(u.Target), F(u.Turn, "0"), F(u.Down, "0"),
                    .. zooms ? (string[])[Or(u.Zoom)] : [], F(u.Level * 100, "0"), u.Serves])], []),
            new PaperTable("unheld", "", ["position", "at", "lx", "short by lx", "modelling", "why"],
                [.. answer.Positions.Where(p => !p.IsHeld).Select(p => (IReadOnlyList<string>)[p.Name, Point(p.Point), F(p.Lux, "0"),
                    p.ShortBy > 0 ? F(p.ShortBy, "0") : "", F(p.Modelling, "0.00"), p.Why])], []),
            new PaperTable("hang", "", ["at", "up", "beside", "throw m", "candela", "over degrees", "for", "lx", "but"], [.. answer.ToHang.Select(Ask)], []));
    }

    /// <summary>What was asked for, in words.</summary>
    public static string Wanted(HouseLightAsked asked)
    {
        ArgumentNullException.ThrowIfNull(asked);
        return $"at least {F(asked.Least, "0.#")} lx ({asked.Measure}) on every face, modelling {asked.Modelling}";
    }

    /// <summary>
    /// Writes the venue file with the lanterns that are aimed by hand aimed at focus points, beside the venue file that it comes from; all else of it stays.
    /// </summary>
    /// <param name="answer">The answer.</param>
    /// <param name="rig">The rig file.</param>
    /// <param name="venue">The venue file that it was found with.</param>
    /// <param name="path">Where it goes.</param>
    /// <exception cref="StopException">It can't be written, would overwrite what it came from, or doesn't say what was found.</exception>
    public static void WriteVenue(HouseLightAnswer answer, string rig, string venue, string path)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var (full, from) = (Path.GetFullPath(path), Path.GetFullPath(venue));
        if (full == from || full == Path.GetFullPath(rig))
        {
            throw StopException.Wrong($"--aimed {path} would overwrite what it comes from: name another file");
        }

        if (Path.GetDirectoryName(full) != Path.GetDirectoryName(from))
        {
            throw StopException.Wrong($"--aimed {path}: it goes beside {venue}, which it holds: files named in there are found from its folder");
        }

        if (!BoundedFile.TryRead(venue, MostBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{venue}: {why}");
        }

        var hand = answer.Used.Where(u => u.Kind == LanternKind.ByHand).ToList();
        var taken = answer.Aimed.FocusPoints.Select(f => f.Name).ToHashSet(StringComparer.OrdinalIgnoreCase);
        var names = hand.Select(u => u.Target).Distinct().ToDictionary(t => t, t => Free(taken, $"front light: {hand.First(u => u.Target == t).AimedAt}"));
        var aims = hand.Select(u => new VenueAim(answer.Aimed.Fixtures.Single(f => f.Name == u.Fixture), names[u.Target])).ToList();
        var text = aims.Count == 0 ? bytes
            : VenueAims.TryWrite(bytes, venue, aims, [.. names.Select(n => (n.Value, n.Key))], out var written, out why) ? written
                : throw StopException.Wrong(why);
        WholeFile.Write(full, text);
        var under = RigFiles.Open(rig, path);
        if (aims.Find(a => Vector3.Distance(Looks(under.Fixtures.Single(f => f.Name == a.Fixture.Name)), Looks(a.Fixture)) > 1e-3f) is { } astray)
        {
            File.Delete(full);
            throw StopException.Wrong($"no venue file can say it: {astray.Fixture.Name} would look elsewhere");
        }
    }

    /// <summary>The look: everything else at its default.</summary>
    internal static string Look(RigScene rig, HouseLightAsked asked, IReadOnlyList<(Fixture Fixture, LightColumn Column, double Level)> used)
    {
        var defaults = new LevelsEncoder(rig);
        var text = new StringBuilder($"// Front light: {Wanted(asked)}.\n"
            + "// Lanterns that are aimed by hand must look where the focus sheet says.\n{\n  \"set\": [\n");
        return text.AppendJoin(",\n", used.Select(u => "    " + Entry(rig, defaults, u.Fixture, u.Column, u.Level))).Append("\n  ]\n}\n").ToString();
    }

    private static string Entry(RigScene rig, LevelsEncoder defaults, Fixture fixture, LightColumn c, double level)
    {
        string Value(string key, float? v) => v is { } x ? string.Create(CultureInfo.InvariantCulture, $", \"{key}\": {x:0.####}") : "";
        var mixers = fixture.Mode.Channels.Where(m => m.Functions.Any(f => f.Attribute.StartsWith("ColorAdd", StringComparison.Ordinal))).ToList();
        var white = fixture.Mode.PixelBlocks.Count > 0 || (mixers.Count > 0 && mixers.TrueForAll(m => defaults.RawOf(fixture, m) == 0));
        return "{ \"fixtures\": " + JsonSerializer.Serialize(Called(rig, fixture)) + (white ? ", \"colour\": \"#ffffff\"" : "")
            + Value("dimmer", (float)level) + Value("zoom", c.Zoom) + Value("pan", c.Pan) + Value("tilt", c.Tilt) + " }";
    }

    /// <summary>Its name where that means it alone, else its number.</summary>
    private static string Called(RigScene rig, Fixture fixture) =>
        new[] { fixture.Name, fixture.Number }.FirstOrDefault(n => FixtureSelection.TryFind(rig, n, out var found, out _)
            && found is [var one] && one.Index == fixture.Index)
        ?? throw StopException.Wrong($"neither the name nor the number of {fixture.Name} means it alone: a look can't name it");

    private static IReadOnlyList<string> Ask(HangAsked h) => [Point(h.At), F(h.Seen.Elevation, "0"), F(h.Seen.Azimuth, "0"), F(h.Seen.Throw), F(h.Candela, "0"),
        F(h.ConeDegrees, "0"), h.For, F(h.Lux, "0"), h.Trouble];

    private static string Free(HashSet<string> taken, string name)
    {
        var free = name;
        for (var i = 2; !taken.Add(free); i++)
        {
            free = string.Create(CultureInfo.InvariantCulture, $"{name} ({i})");
        }

        return free;
    }

    private static Vector3 Looks(Fixture f) => f.Pose.TransformDirection(-Vector3.UnitZ);

    private static string Or(float? v) => v is { } x ? F(x) : "";
}
