using System.Globalization;
using System.Numerics;
using StageView.Light.Rays;
using StageView.Live.Terms;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Wire.Universes;

namespace StageView.Live.Shown;

/// <summary>Answers what the page asks about the rig and what is shown on it.</summary>
internal sealed class RigQuestions(ShownStage shown, TimeProvider clock)
{
    public Reply Pick(Ray ray) => shown.Read(now =>
    {
        var moment = now.Model.MomentAt(now.At, ShownFeed.Shutter);
        var fixtures = now.Model.Rig.Fixtures;
        var there = Picker.Candidates(moment, OcclusionScene.From(moment), ray);
        return there.Count == 0
            ? Reply.Refuse("no fixture and no beam there")
            : Reply.Done("", FixtureCards.Of(now, fixtures[there[0].Fixture.Value]) with
            {
                There = [.. there.Select(c => new PickLine(fixtures[c.Fixture.Value].Name, Math.Round(c.Share, 3)))],
            });
    });

    public Vector3? PointOn(Ray ray) => shown.Read(now =>
    {
        var moment = now.Model.MomentAt(now.At, ShownFeed.Shutter);
        return Picker.Point(moment, OcclusionScene.From(moment), ray);
    });

    public Reply Fixture(string name) =>
        shown.Read(now => Named(now.Model.Rig, name) is { } fixture ? Reply.Done("", FixtureCards.Of(now, fixture)) : Reply.NoFixture(name));

    /// <summary>Several fixtures together; names that the rig doesn't have are left out.</summary>
    public Reply Several(IReadOnlyList<string> names) => shown.Read(now =>
    {
        var wanted = names.ToHashSet();
        return Reply.Done("", SeveralCards.Of(now, [.. now.Model.Rig.Fixtures.Where(f => wanted.Contains(f.Name))]));
    });

    /// <summary>A share of the range, 0 to 1, of each channel of fixtures that is an attribute now.</summary>
    public IReadOnlyList<AsIfLevel> LevelsOf(IReadOnlyList<string> names, string attribute, double share) => shown.Read(now =>
    {
        var wanted = names.ToHashSet();
        return now.Model.Rig.Fixtures.Where(f => wanted.Contains(f.Name))
            .SelectMany(f => now.Model.StateOf(f.Index, now.At).Attributes.Where(a => a.Attribute == attribute && a.Addresses.Count > 0)
                .Select(a => new AsIfLevel(f.Name, a.Channel, (long)Math.Round(share * a.Highest)))).ToList();
    });

    public Reply Find(string text)
    {
        var rig = shown.Rig;
        var wanted = text.Trim();
        if (UniverseAddress.TryParse(wanted, out var address))
        {
            return Reply.Done("", new PatchLookup(rig).At(address).Select(f => f.Name).ToArray());
        }

        bool Has(string s) => s.Contains(wanted, StringComparison.OrdinalIgnoreCase);
        var inUniverse = int.TryParse(wanted, NumberStyles.None, CultureInfo.InvariantCulture, out var u) ? new PatchLookup(rig).In(u).ToHashSet() : [];
        return Reply.Done("", rig.Fixtures
            .Where(f => Has(f.Name) || f.Number == wanted || f.Groups.Any(Has) || Has(f.Position) || inUniverse.Contains(f))
            .OrderBy(f => f.Number == wanted ? 0 : f.Name.StartsWith(wanted, StringComparison.OrdinalIgnoreCase) ? 1 : 2)
            .Select(f => f.Name).ToArray());
    }

    public Reply Aim(string fixture, Vector3 point)
    {
        var (ways, head) = shown.Read(
            now => Named(now.Model.Rig, fixture) is { } head ? (new AimWays(now.Model.Rig, now.Model, now.At, clock), head) : (null, null));

        // The search takes its time with many mirrors, and needs nothing of the running show.
        return ways is null || head is null ? Reply.NoFixture(fixture) : Reply.Done("", ways.Find(head, point));
    }

    /// <summary>The line that a window shows for a click.</summary>
    public string PickForWindow(Ray ray)
    {
        var name = shown.Rig.Name;
        if (Pick(ray).Data is not FixtureCard f)
        {
            return name;
        }

        var landing = f.Landings.Count > 0
            ? string.Create(CultureInfo.InvariantCulture, $": {f.Landings[0].Lux:0} lx on {f.Landings[0].Surface}, throw {f.Landings[0].Throw:0.0} m") : "";
        var others = f.There is { Count: > 1 } there ? "; there too: " + string.Join(", ", there.Skip(1).Select(t => t.Name)) : "";
        return $"{name}: {f.Name}{(f.Number.Length > 0 ? $" ({f.Number})" : "")}, {(f.Patch.Length > 0 ? f.Patch : "not patched")}{landing}{others}";
    }

    /// <summary>The fixture of that very name, or null.</summary>
    public static Fixture? Named(RigScene rig, string name) => rig.Fixtures.FirstOrDefault(f => f.Name == name);
}
