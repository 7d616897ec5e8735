using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Json;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;

namespace StageView.Show.Refocus;

/// <summary>What a crew and an operator take away: sheets by hang, a table for machines, looks and a cue file of the positions.</summary>
public static class RefocusFiles
{
    private const string Caution =
        "Aiming lights at people can hurt them, and heads that move can hit somebody: what may be pointed where, and when, is decided on site. No open format "
        + "carries a console's stored positions: an operator stores them.";

    /// <summary>A sheet a hang, worst first, with room to tick.</summary>
    public static IReadOnlyList<PaperTable> Sheets(RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        IEnumerable<PaperTable> sheets = answer.Rows.GroupBy(r => r.Hang).OrderBy(g => g.Key, StringComparer.Ordinal).Select((g, i) => new PaperTable(
            string.Create(CultureInfo.InvariantCulture, $"focus-{i + 1}"),
            $"Focus: {(g.Key.Length > 0 ? g.Key : "no position")}",
            ["Done", "No", "Fixture", "Pos", "For", "Pan", "Tilt", "Pan was", "Tilt was", "State", "First used"],
            [.. g.Select(r => (IReadOnlyList<string>)["[  ]", r.FixtureNumber, r.Fixture, Int(r.Position), r.Anchor.Text, Degrees(r.NewPan), Degrees(r.NewTilt),
                Degrees(r.OldPan), Degrees(r.OldTilt), Said(r.State), First(r)])],
            [.. g.Where(r => r.Remark.Length > 0).GroupBy(r => r.Remark).Select(d => $"{Which([.. d])}: {d.Key}."), Caution]));
        return [.. RefocusAxes.Sheets(answer), .. sheets];
    }

    /// <summary>Every position with old and new values, raw levels and addresses.</summary>
    public static PaperTable Table(RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        return new PaperTable(
            "refocus", "Positions",
            ["State", "Number", "Fixture", "Hang", "Position", "Cues", "Times s", "For", "Why", "Pan was", "Tilt was", "Pan", "Tilt", "Pan raw",
                "Pan addresses",
                "Tilt raw", "Tilt addresses", "Lux factor", "Spot factor", "Beam angle",
                "Beam angle that holds the spot", "Lux factor then", "Dimmer factor then", "Cone", "Zooms", "Focuses", "Late s", "Detail"],
            [.. answer.Rows.Select(r => (IReadOnlyList<string>)[
                Said(r.State), r.FixtureNumber, r.Fixture, r.Hang, Int(r.Position), string.Join("; ", r.Cues),
                string.Join("; ", r.Times.Select(t => t.ToString("0.00", CultureInfo.InvariantCulture))), r.Anchor.Text, r.Anchor.Why,
                Degrees(r.OldPan), Degrees(r.OldTilt), Degrees(r.NewPan), Degrees(r.NewTilt), Raw(r, "Pan"), Addresses(r, "Pan"), Raw(r, "Tilt"),
                Addresses(r, "Tilt"), Factor(r.LuxFactor), Factor(r.SpotFactor), Degrees(r.Zoom), Degrees(r.ZoomThatHolds),
                Factor(r.LuxFactorHeld), Factor(r.DimmerThatHolds), string.Join("; ", r.Cone.Select(Said)), RefocusAxes.Zooms(r), RefocusAxes.Focuses(r),
                r.LateSeconds > 0 ? r.LateSeconds.ToString("0.0#", CultureInfo.InvariantCulture) : "", r.Remark])],
            [Caution]);
    }

    /// <summary>
    /// A cue file that puts every fixture into its first position in the first second, into its second in the next: dark, for whoever stores them. Played by
    /// <c>cues</c> it is a capture that can be replayed to a console's input.
    /// </summary>
    public static string Cues(RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var steps = Steps(answer).ToList();
        var text = new StringBuilder("// The positions of the show in the new venue, a second each: pan, tilt and zoom, dark.\n{\n");
        text.Append(CultureInfo.InvariantCulture, $"  \"length\": {Math.Max(1, steps.Count)},\n  \"cues\": [\n");
        for (var i = 0; i < steps.Count; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"    {{ \"time\": {i}, \"name\": \"position {steps[i].Number}\", \"set\": [\n")
                .AppendJoin(",\n", steps[i].Rows.Select(r => Entry(r, lit: false)).Concat(RefocusAxes.Entries(answer, steps[i].Rows)).Select(e => $"      {e}"))
                .Append("\n    ] }").Append(i + 1 < steps.Count ? ",\n" : "\n");
        }

        return text.Append("  ]\n}\n").ToString();
    }

    /// <summary>A look for each of the positions' numbers, lit, by its file name.</summary>
    public static IEnumerable<(string Name, string Text)> Looks(RefocusAnswer answer) => Steps(answer).Select(s => (
        string.Create(CultureInfo.InvariantCulture, $"position-{s.Number:00}.look.jsonc"),
        "{\n  \"set\": [\n"
            + string.Join(",\n", s.Rows.Select(r => Entry(r, lit: true)).Concat(RefocusAxes.Entries(answer, s.Rows)).Select(e => $"    {e}")) + "\n  ]\n}\n"));

    /// <summary>The places that positions are for, as focus points beside the rig's own; those within 5 cm of each other are one.</summary>
    public static IReadOnlyList<FocusPoint> FocusPoints(RigScene rig, RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(answer);
        var points = rig.FocusPoints.ToList();
        foreach (var row in answer.Rows.Where(r => r.At is not null).OrderBy(r => r.Fixture, StringComparer.Ordinal).ThenBy(r => r.Position))
        {
            if (!points.Exists(p => Vector3.Distance(p.Position, row.At!.Value) < .05f))
            {
                points.Add(new FocusPoint($"{row.Fixture}, position {row.Position}: {row.Anchor.Text}", row.At!.Value, ""));
            }
        }

        return points;
    }

    /// <summary>A state in a few words.</summary>
    public static string Said(RefocusState state) => state switch
    {
        RefocusState.NotThere => "not there",
        RefocusState.OutOfReach => "out of reach",
        RefocusState.Obstructed => "obstructed",
        RefocusState.Audience => "into the audience",
        RefocusState.Flipped => "flipped",
        RefocusState.Moved => "moved",
        _ => "kept",
    };

    /// <summary>"head 1, position 2".</summary>
    internal static string Named(RefocusRow row) => $"{row.Fixture}, position {Int(row.Position)}";

    /// <summary>What becomes of a part of a cone, in a few words.</summary>
    public static string Said(ConeEffect effect) => effect switch
    {
        ConeEffect.Shaded => "shaded",
        ConeEffect.Audience => "audience",
        ConeEffect.Crew => "crew",
        _ => "past the mirror",
    };

    private static string Said(ConeRow part) =>
        string.Create(CultureInfo.InvariantCulture, $"{Said(part.Effect)} {part.What} {100 * part.Share:0} % (was {100 * part.Before:0} %)");

    private static IEnumerable<(int Number, List<RefocusRow> Rows)> Steps(RefocusAnswer answer) =>
        answer.Rows.Where(r => r.NewPan is not null).GroupBy(r => r.Position).OrderBy(g => g.Key)
            .Select(g => (g.Key, g.OrderBy(r => r.Fixture, StringComparer.Ordinal).ToList()));

    private static string Entry(RefocusRow r, bool lit)
    {
        var zoom = r.ZoomThatHolds is { } z ? string.Create(CultureInfo.InvariantCulture, $", \"zoom\": {z:0.##}") : "";
        string Axis(string attribute, string key, float? degrees) => r.Channels.Any(c => c.Attribute == attribute)
            ? string.Create(CultureInfo.InvariantCulture, $", \"{key}\": {degrees:0.####}") : "";
        var focus = r.Optics.Count > 0 && r.Optics[0].FocusThatHolds is { } d ? string.Create(CultureInfo.InvariantCulture, $", \"focus\": {d:0.###}") : "";
        var axes = Axis("Pan", "pan", r.NewPan) + Axis("Tilt", "tilt", r.NewTilt);
        return $"{{ \"fixtures\": {JsonSerializer.Serialize(r.Fixture)}{axes}{zoom}{focus}{(lit ? ", \"dimmer\": 0.5" : "")} }}";
    }

    /// <summary>Whose positions share a remark: "head 1: 2, 3; head 4: 1".</summary>
    private static string Which(IReadOnlyList<RefocusRow> rows) =>
        string.Join("; ", rows.GroupBy(r => r.Fixture).Select(g => $"{g.Key}: {string.Join(", ", g.Select(r => Int(r.Position)))}"));

    private static string First(RefocusRow r) => r.Cues.Count > 0 ? r.Cues[0] : r.Times[0].ToString("0.0 s", CultureInfo.InvariantCulture);

    private static string Degrees(float? v) => v?.ToString("0.00", CultureInfo.InvariantCulture) ?? "";

    private static string Factor(double? v) => v?.ToString("0.000", CultureInfo.InvariantCulture) ?? "";

    private static string Int(int v) => v.ToString(CultureInfo.InvariantCulture);

    private static string Raw(RefocusRow r, string attribute) =>
        r.Channels.FirstOrDefault(c => c.Attribute == attribute)?.Value.ToString(CultureInfo.InvariantCulture) ?? "";

    private static string Addresses(RefocusRow r, string attribute) => r.Channels.FirstOrDefault(c => c.Attribute == attribute)?.Addresses ?? "";
}
