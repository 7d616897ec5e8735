using System.IO.Enumeration;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.HouseLight;

/// <summary>The fixtures that may be used, and what they give at full.</summary>
internal static class Lanterns
{
    public const int Most = 1000;

    /// <summary>Zooms tried, from the narrowest to the widest.</summary>
    private const int Zooms = 4;

    /// <summary>Those that the venue brings, and those asked for beside them, in the rig's order.</summary>
    /// <exception cref="StopException">A name means nothing, or there are none, or too many.</exception>
    public static IReadOnlyList<Fixture> Choose(RigScene rig, IReadOnlyList<string> also)
    {
        var taken = rig.Fixtures.Where(f => f.OfVenue).ToList();
        foreach (var name in also)
        {
            var some = name.Contains('*', StringComparison.Ordinal)
                ? [.. rig.Fixtures.Where(f => FileSystemName.MatchesSimpleExpression(name, f.Name, ignoreCase: false))]
                : FixtureSelection.TryFind(rig, name, out var found, out var why) ? found : throw StopException.Wrong($"--also {name}: {why}");
            taken.AddRange(some.Count > 0 ? some
                : throw StopException.Wrong($"--also {name}: no fixture is called so{Nearest.Among(name, [.. rig.Fixtures.Select(f => f.Name)])}"));
        }

        var all = taken.DistinctBy(f => f.Index).OrderBy(f => f.Index.Value).ToList();
        return all.Count == 0
            ? throw StopException.Wrong("there are no lanterns to choose from: name a venue file that hangs some with --venue FILE, or fixtures of "
                + "the rig with --also")
            : all.Count <= Most ? all : throw StopException.Wrong($"these are {all.Count} fixtures, and {Most} are the most: name fewer with --also");
    }

    /// <summary>Each with its beams, the moment they are read with, and all at rest.</summary>
    public static (IReadOnlyList<Lantern> All, Moment Moment) Lit(RigScene rig, IReadOnlyList<Fixture> fixtures)
    {
        var roots = PlacesAtRest.Roots(rig);
        var zooms = fixtures.Select(ZoomRange).ToList();
        var beams = fixtures.Select(_ => new List<(float?, Beam[])>()).ToList();
        var cannot = fixtures.Select(_ => "").ToList();
        Moment? first = null;
        for (var z = 0; z < (zooms.Exists(r => r is not null) ? Zooms : 1); z++)
        {
            var levels = new LevelsEncoder(rig);
            var settings = fixtures.Select((f, i) => Set(levels, f, zooms[i], z, cannot, i)).ToList();
            var stage = new StageModel(rig);
            levels.SendTo(stage, TimeSpan.Zero);
            var moment = stage.MomentAt(TimeSpan.Zero, default, 0);
            first ??= moment;
            var lit = moment.Beams.ToArray().ToLookup(b => b.Fixture);
            for (var i = 0; i < fixtures.Count; i++)
            {
                if (z == 0 || zooms[i] is not null)
                {
                    beams[i].Add((settings[i], [.. lit[fixtures[i].Index].Where(b => !b.Profile.IsOmnidirectional)]));
                }
            }
        }

        var all = fixtures.Select((f, i) =>
        {
            var head = PanTilt.Beam(f, 0, 0, roots[f.Index.Value]) is not null;
            var kind = head ? LanternKind.Head : f.OfVenue && f.Carrier is null ? LanternKind.ByHand : LanternKind.AsHung;
            var unfit = !f.SharesPatchOf.IsNone ? $"shares the addresses of {rig[f.SharesPatchOf].Name}: it can't have a level of its own"
                : cannot[i].Length > 0 ? cannot[i] : beams[i].TrueForAll(b => b.Item2.Length == 0) ? "gives no beam" : "";
            return new Lantern(f, roots[f.Index.Value], kind, beams[i]) { Unfit = unfit };
        });
        return ([.. all], first!);
    }

    private static float? Set(LevelsEncoder levels, Fixture fixture, (float From, float To)? zoom, int step, List<string> cannot, int i)
    {
        cannot[i] = FullShow.PutToFull(levels, fixture, out var why) ? "" : why;
        if (zoom is not { } range)
        {
            return null;
        }

        var value = MathF.Round(float.Lerp(range.From, range.To, step / (Zooms - 1f)), 1);
        return levels.TrySet(fixture, "Zoom", value, out _) ? value : null;
    }

    /// <summary>Beam angles that can be set, degrees.</summary>
    private static (float From, float To)? ZoomRange(Fixture fixture)
    {
        var zoom = fixture.Mode.Channels.SelectMany(c => c.Functions).FirstOrDefault(f => f.Attribute == "Zoom");
        return zoom is null || zoom.PhysicalFrom == zoom.PhysicalTo ? null
            : (MathF.Min(zoom.PhysicalFrom, zoom.PhysicalTo), MathF.Max(zoom.PhysicalFrom, zoom.PhysicalTo));
    }
}
