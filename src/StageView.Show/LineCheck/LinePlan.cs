using System.Globalization;
using System.Numerics;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.LineCheck;

/// <summary>One fixture of a line check; those that share its addresses light with it.</summary>
/// <param name="Name">Its name, with those that share its addresses.</param>
/// <param name="Number">Its number; empty when it has none.</param>
/// <param name="Position">Where it hangs.</param>
/// <param name="Profile">Its type.</param>
/// <param name="Patch">Its first addresses, as <c>3.101</c>.</param>
/// <param name="Fixture">The fixture.</param>
public sealed record LineStep(
    string Name, string Number, string Position, string Profile, string Patch, [property: System.Text.Json.Serialization.JsonIgnore] Fixture Fixture);

/// <summary>Which fixtures are lit one after another, and what each is sent.</summary>
public sealed class LinePlan
{
    /// <summary>Share of full, unless asked: enough to be seen from the stage and easier on eyes than full; common practice, no source.</summary>
    public const double UsualLevel = .5;

    private static readonly ColourWanted s_white = ColourWanted.Of(Vector3.One);
    private readonly RigScene _rig;
    private readonly float _level;

    /// <param name="rig">The rig.</param>
    /// <param name="only">Selections; all fixtures when empty.</param>
    /// <param name="level">Share of full, more than 0 to 1.</param>
    /// <param name="order">position (as the rig file lists them), patch or number.</param>
    /// <exception cref="StopException">A selection names nothing, nothing is left to light, or an order that is not known.</exception>
    public LinePlan(RigScene rig, IReadOnlyList<string> only, double level, string order)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(only);
        (_rig, _level) = (rig, (float)level);
        var asked = only.Count == 0 ? rig.Fixtures : [.. only.SelectMany(o => FixtureSelection.TryFind(rig, o, out var found, out var why) ? found
            : throw StopException.Wrong("--only: " + why)).DistinctBy(f => f.Index)];
        var patch = new PatchLookup(rig);
        var left = new List<string>();
        var steps = new List<(LineStep Step, int Patch)>();
        foreach (var f in asked.Where(f => f.SharesPatchOf.IsNone || !asked.Contains(rig.Fixtures[f.PatchOwner.Value])).DistinctBy(f => f.PatchOwner))
        {
            var owner = rig.Fixtures[f.PatchOwner.Value];
            if (owner.Patch.Count == 0)
            {
                left.Add($"{owner.Name}: has no address");
            }
            else if (owner.Mode.Geometry.Any(g => g.Laser is not null))
            {
                left.Add($"{owner.Name}: a laser is not lit by a line check");
            }
            else if (!Light(new LevelsEncoder(rig), owner, out var why))
            {
                left.Add(why.Length > 0 ? why : $"{owner.Name}: nothing in it gives light");
            }
            else
            {
                var sharing = rig.Fixtures.Where(o => o.SharesPatchOf == owner.Index).Select(o => o.Name);
                steps.Add((new LineStep(string.Join(", ", sharing.Prepend(owner.Name)), owner.Number, owner.Position, owner.Profile.Name,
                    string.Join(" ", owner.Patch.Select(p => p.Start.ToString())), owner), owner.Patch.Min(p => p.Start.Absolute)));
            }
        }

        IEnumerable<(LineStep Step, int Patch)> ordered = order switch
        {
            "position" => steps,
            "patch" => steps.OrderBy(s => s.Patch),
            "number" => steps.OrderBy(s => double.TryParse(s.Step.Number, NumberStyles.Float, CultureInfo.InvariantCulture, out var n) ? n : double.MaxValue)
                .ThenBy(s => s.Step.Number, StringComparer.Ordinal),
            _ => throw StopException.Wrong($"--order {order} is not known: position, patch or number"),
        };
        (Steps, NotLit) = ([.. ordered.Select(s => s.Step)], left);
        if (Steps.Count == 0)
        {
            throw StopException.Wrong("no fixture is left to light" + (left.Count > 0 ? $": {string.Join("; ", left.Take(5))}" : ""));
        }

        Universes = [.. Steps.SelectMany(s => patch.UniversesOf(s.Fixture)).Distinct().Order()];
        if (Lasing() is { } laser && patch.UniversesOf(laser).Intersect(Universes).Any())
        {
            throw StopException.Wrong($"{laser.Name} gives light at the defaults of its profile, which a line check sends beside the fixture that it lights: "
                + "no laser is lit by one. Choose fixtures of other universes with --only, or mend the profile");
        }
    }

    /// <summary>In the order they light.</summary>
    public IReadOnlyList<LineStep> Steps { get; }

    /// <summary>Fixtures that are not lit, each with why.</summary>
    public IReadOnlyList<string> NotLit { get; }

    /// <summary>Universes that are sent: those of the fixtures lit.</summary>
    public IReadOnlyList<int> Universes { get; }

    /// <summary>Levels with one fixture lit and all others at their defaults; none lit for a step beyond the last.</summary>
    public LevelsEncoder LevelsOf(int step)
    {
        var levels = new LevelsEncoder(_rig);
        if (step >= 0 && step < Steps.Count)
        {
            Light(levels, Steps[step].Fixture, out _);
        }

        return levels;
    }

    /// <summary>A laser that gives light when nothing is lit; null for none. Others have addresses and modes of their own, or the rig is refused.</summary>
    private Fixture? Lasing()
    {
        var stage = new StageModel(_rig);
        new LevelsEncoder(_rig).SendTo(stage, TimeSpan.Zero);
        var lasers = stage.MomentAt(TimeSpan.Zero, bounces: 0).Lasers.Span;
        return lasers.IsEmpty ? null : _rig.Fixtures[lasers[0].Fixture.Value];
    }

    private bool Light(LevelsEncoder levels, Fixture fixture, out string why)
    {
        if (!FullShow.PutToFull(levels, fixture, out why))
        {
            return false;
        }

        // What has no dimmer is dimmed by its colour.
        return _level >= 1 || levels.TryDim(fixture, _level, out why) || levels.TrySetColour(fixture, ColourWanted.Of(Vector3.One * _level), out why)
            || levels.TrySetColour(fixture, s_white, out why);
    }
}
