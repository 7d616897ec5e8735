using System.Globalization;
using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Paperwork.Patch;
using StageView.Rig.Pieces;

namespace StageView.Paperwork.Lists;

/// <summary>The lists a crew works from.</summary>
public static class PaperTables
{
    private const string PowerCaution =
        "Figures are the profiles' power at full, added up. They are no load calculation: a licensed electrician decides on circuits, phases and protection "
        + "under local codes.";

    private const string WeightCaution =
        "Figures are the profiles' and the scene file's weights, added up; cables, clamps, motors and dynamic loads are not in them. They are no structural "
        + "calculation: a qualified rigger decides under local codes.";

    public static IReadOnlyList<PaperTable> All(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        return
        [
            PatchList(rig), UniverseSheets(rig), Counts(rig), HangList(rig), Power(rig), Weight(rig),
            .. rig.Connections.Count > 0 ? [Connections(rig)] : (PaperTable[])[],
        ];
    }

    /// <summary>Cables as the rig names them, from its first thing on.</summary>
    public static PaperTable Connections(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var where = rig.Fixtures.Select(f => (f.Name, f.Position)).Concat(rig.Scenery.Select(s => (s.Name, s.Position)))
            .DistinctBy(x => x.Name).ToDictionary(x => x.Name, x => x.Position, StringComparer.Ordinal);
        return new PaperTable(
            "connections",
            "Connections",
            ["From", "Position", "Plug", "To", "Position", "Plug"],
            [.. rig.Connections.Select(c => (IReadOnlyList<string>)[c.From, where[c.From], c.Plug, c.To, where[c.To], c.ToPlug])],
            ["As the rig file states them. What may be joined, and how it is protected, a licensed electrician decides under local codes."]);
    }

    public static PaperTable PatchList(RigScene rig) => new(
        "patch-list",
        "Patch list",
        ["Number", "Fixture", "Type", "Mode", "Position", "Groups", "Address", "Addresses"],
        [.. rig.Fixtures.OrderBy(f => f.Patch.Count > 0 ? f.Patch[0].Start.Absolute : int.MaxValue).Select(f => (IReadOnlyList<string>)[
            f.Number, f.Name, f.Profile.Name, f.Mode.Name, f.Position, string.Join(" ", f.Groups),
            f.Patch.Count == 0 ? "not patched"
                : string.Join(" / ", f.Patch.Select(p => p.Start.ToString())) + (!f.SharesPatchOf.IsNone ? $" with {rig[f.SharesPatchOf].Name}" : ""),
                Int(f.Mode.Footprints.Sum())])],
        []);

    public static PaperTable UniverseSheets(RigScene rig)
    {
        var report = PatchInspector.Inspect(rig);
        var sharing = rig.Fixtures.Where(f => !f.SharesPatchOf.IsNone).ToLookup(f => rig[f.SharesPatchOf].Name, f => f.Name);
        string Named(string fixture) => sharing.Contains(fixture) ? $"{fixture} with {string.Join(", ", sharing[fixture])}" : fixture;
        var rows = new List<IReadOnlyList<string>>();
        foreach (var u in report.Universes)
        {
            rows.AddRange(u.Stretches.Select(
                s => (IReadOnlyList<string>)[Int(u.Universe), Int(s.From), Int(s.To), s.Number, Named(s.Fixture), s.Profile, s.Mode,
                    string.Join(", ", u.FedBy)]));
            rows.AddRange(u.Free.Select(f => (IReadOnlyList<string>)[Int(u.Universe), Int(f.From), Int(f.To), "", "free", "", "", string.Join(", ", u.FedBy)]));
        }

        return new PaperTable(
            "universes",
            "Universe sheets",
            ["Universe", "From", "To", "Number", "Fixture", "Type", "Mode", "Fed by"],
            [.. rows.OrderBy(r => int.Parse(r[0], CultureInfo.InvariantCulture)).ThenBy(r => int.Parse(r[1], CultureInfo.InvariantCulture))],
            [$"{Counted.Of(report.Attributes, "attribute")} in all{(report.ConsoleAttributes is { } c ? $"; the console is said to run {c}" : "")}."]);
    }

    public static PaperTable Counts(RigScene rig) => new(
        "counts",
        "Fixtures by type and position",
        ["Type", "Mode", "Position", "Count"],
        [.. rig.Fixtures.GroupBy(f => (f.Profile.Name, Mode: f.Mode.Name, f.Position)).OrderBy(g => g.Key.Name,
            StringComparer.Ordinal).ThenBy(g => g.Key.Position, StringComparer.Ordinal)
            .Select(g => (IReadOnlyList<string>)[g.Key.Name, g.Key.Mode, g.Key.Position, Int(g.Count())])],
        [.. rig.Fixtures.GroupBy(f => f.Profile.Name).OrderBy(g => g.Key, StringComparer.Ordinal).Select(g => $"{g.Key}: {g.Count()} in all.")]);

    public static PaperTable HangList(RigScene rig)
    {
        var poses = PlacesAtRest.Roots(rig);
        Vector3 At(Fixture f) => poses[f.Index.Value].Position;
        string Where(Fixture f) => f.Carrier is { } c ? $"carried by {rig[c.Fixture].Name}" : f.Position;
        return new PaperTable(
            "hang-list",
            "Hang list",
            ["Position", "Trim m", "Number", "Fixture", "Type", "x m", "y m", "z m", "Pointing"],
            [.. rig.Fixtures.GroupBy(Where).OrderBy(g => g.Key, StringComparer.Ordinal)
                .SelectMany(g => g.OrderBy(f => At(f).X).Select(f => (IReadOnlyList<string>)[
                    g.Key, Metres(g.Max(o => At(o).Z)), f.Number, f.Name, f.Profile.Name,
                    Metres(At(f).X), Metres(At(f).Y), Metres(At(f).Z), Pointing(poses[f.Index.Value])]))],
            [
                "Trim is the highest hanging point of the position over the deck. x counts from the centre line to the audience's right, y upstage from the "
                    + "downstage edge. What is carried is told where it is at rest."]);
    }

    public static PaperTable Power(RigScene rig)
    {
        var unknown = rig.Fixtures.Where(f => f.Profile.PowerWatts is null).Select(f => f.Profile.Name).Distinct().ToList();
        return new PaperTable(
            "power",
            "Power by position and phase",
            ["Position", "Phase", "Fixtures", "kW"],
            [.. rig.Fixtures.GroupBy(f => (f.Position, f.Phase)).OrderBy(g => g.Key.Position, StringComparer.Ordinal).ThenBy(g => g.Key.Phase)
                .Select(g => (IReadOnlyList<string>)[g.Key.Position, g.Key.Phase == 0 ? "not stated" : "L" + Int(g.Key.Phase), Int(g.Count()),
                    (g.Sum(f => f.Profile.PowerWatts ?? 0) / 1000).ToString("0.00", CultureInfo.InvariantCulture)])],
            [
                $"In all {(rig.Fixtures.Sum(f => f.Profile.PowerWatts ?? 0) / 1000).ToString("0.0", CultureInfo.InvariantCulture)} kW.",
                .. unknown.Count > 0 ? (string[])[$"Without a figure: {string.Join(", ", unknown)}."] : [],
                PowerCaution,
            ]);
    }

    public static PaperTable Weight(RigScene rig)
    {
        var rows = new List<IReadOnlyList<string>>();
        var poses = PlacesAtRest.Roots(rig);
        Vector3 At(Fixture f) => poses[f.Index.Value].Position;
        var positions = rig.Fixtures.Select(f => f.Position).Concat(rig.Scenery.Where(s => s.WeightKilograms > 0).Select(s => s.Position)).Distinct();
        foreach (var p in positions.Order(StringComparer.Ordinal))
        {
            var fixtures = rig.Fixtures.Where(f => f.Position == p).ToList();
            var own = rig.Scenery.Where(s => s.Position == p && s.WeightKilograms > 0).ToList();
            var total = fixtures.Sum(f => f.Profile.WeightKilograms ?? 0) + own.Sum(s => s.WeightKilograms);
            rows.Add([p, "in all", "", Kilograms(fixtures.Sum(f => f.Profile.WeightKilograms ?? 0)), Kilograms(own.Sum(s => s.WeightKilograms)),
                Kilograms(total)]);
            rows.AddRange(fixtures.OrderBy(f => At(f).X).Select(f => (IReadOnlyList<string>)[
                p, f.Name, $"{Metres(At(f).X)}, {Metres(At(f).Y)}",
                f.Profile.WeightKilograms is { } w ? Kilograms(w) : "not stated", "", ""]));
        }

        return new PaperTable("weight", "Weight by truss and point", ["Position", "Point", "x, y m", "Fixtures kg", "Own kg", "Sum kg"], rows, [WeightCaution]);
    }

    private static string Pointing(in Pose pose)
    {
        var d = pose.TransformDirection(-Vector3.UnitZ);
        return d.Z switch
        {
            < -.94f => "down",
            > .94f => "up",
            _ => string.Create(CultureInfo.InvariantCulture, $"{Heading(d)}, {MathF.Round(Angles.Degrees(Trig.Asin(Math.Clamp(d.Z, -1, 1))))}°"),
        };
    }

    private static string Heading(Vector3 d) =>
        MathF.Abs(d.X) > 2.4f * MathF.Abs(d.Y) ? (d.X > 0 ? "stage left" : "stage right")
        : MathF.Abs(d.Y) > 2.4f * MathF.Abs(d.X) ? (d.Y > 0 ? "upstage" : "house")
        : (d.Y > 0 ? "upstage" : "house") + (d.X > 0 ? " and stage left" : " and stage right");

    private static string Int(int v) => v.ToString(CultureInfo.InvariantCulture);

    private static string Metres(float v) => v.ToString("0.00", CultureInfo.InvariantCulture);

    private static string Kilograms(float v) => v.ToString("0.0", CultureInfo.InvariantCulture);
}
