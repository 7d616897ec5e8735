using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Anchors;
using StageView.Stage.Heads;

namespace StageView.Show.Refocus;

/// <summary>Works out where every held position of a show is in another venue.</summary>
public sealed class RefocusRun
{
    /// <summary>Pans farther from each other than this go another way round, degrees.</summary>
    private const float OtherWay = 90;

    /// <summary>From this share of the cone on, more than before, something stands in its way.</summary>
    private const double MostShaded = .1;

    /// <summary>Less is less than a step of a 16-bit axis, degrees.</summary>
    private const float Step = .01f;

    /// <summary>Places nearer to each other are the same, m.</summary>
    private const float Near = 1e-4f;

    private readonly RigScene _old, _new;
    private readonly StageModel _before, _after;
    private readonly AxisLevels _levels;
    private readonly Winches _winches;
    private readonly Dictionary<string, Fixture> _byName;
    private readonly IReadOnlyList<(string Name, double At)> _cues;
    private readonly IReadOnlyList<StatedAnchor> _stated;
    private readonly HashSet<StatedAnchor> _fitted = new(ReferenceEqualityComparer.Instance);

    private RefocusRun(ShowSource before, ShowSource after, IReadOnlyList<(string Name, double At)> cues, IReadOnlyList<StatedAnchor> stated)
    {
        (_before, _after, _cues, _stated) = (before.Stage, after.Stage, cues, stated);
        (_old, _new) = (before.Stage.Rig, after.Stage.Rig);
        _levels = new AxisLevels(_new);
        _winches = new Winches(_before, _after, _levels);
        _byName = _new.Fixtures.GroupBy(f => f.Name, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);
    }

    /// <summary>All positions of a show, as they are in the new venue.</summary>
    /// <param name="before">The show on the rig as it was, levels of a capture or a look.</param>
    /// <param name="after">The same levels on the rig in the new venue.</param>
    /// <param name="cues">Named times of the show, in order; empty without.</param>
    /// <param name="stated">What positions are for, whatever is guessed; the first that fits holds.</param>
    public static RefocusAnswer Answer(
        ShowSource before, ShowSource after, IReadOnlyList<(string Name, double At)> cues, IReadOnlyList<StatedAnchor>? stated = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var end = before.End();
        after.End();
        return new RefocusRun(before, after, cues, stated ?? []).All(end);
    }

    private RefocusAnswer All(TimeSpan end)
    {
        var positions = HeldPosition.Of(_before.FindHeld(end));
        var looks = Looks(positions).ToList();
        var rows = new List<(HeldPosition Position, PositionProblem Problem)>();
        foreach (var (at, held) in looks)
        {
            rows.AddRange(AskAll(TimeSpan.FromSeconds(at), held));
        }

        var turns = MirrorTurns.Of(_after, [.. rows.Select(r => r.Problem)], _levels, AskAgain);
        rows = [.. rows.Select(r => (r.Position, turns.Problems.GetValueOrDefault(r.Problem, r.Problem)))];
        var taken = new Dictionary<HeldPosition, Candidate?>(ReferenceEqualityComparer.Instance);
        foreach (var one in rows.GroupBy(r => r.Position.Fixture).Select(g => g.OrderBy(r => r.Position.Number).ToList()))
        {
            var ways = WayChoice.Of([.. one.Select(r => (r.Position, r.Problem.Ways))]);
            for (var i = 0; i < one.Count; i++)
            {
                taken[one[i].Position] = ways[i];
            }
        }

        // A moment holds only until others are made: each is made anew for what stands in the way.
        var answered = new List<(HeldPosition Position, PositionProblem Problem, RefocusRow Row)>();
        foreach (var look in rows.GroupBy(r => (r.Problem.At, r.Problem.Turned)))
        {
            var (was, now) = At(look.Key.At, look.Key.Turned);
            var solver = new HeadSolver(_new, now.Moment);
            var before = new Lazy<HeadSolver>(() => new HeadSolver(_old, was.Moment));
            answered.AddRange(look.Select(r =>
                (r.Position, r.Problem, Row(r.Position, r.Problem with { Solver = solver, Before = before }, taken[r.Position]))));
        }

        var all = answered.GroupBy(r => r.Position.Fixture).SelectMany(WithLate);
        return new RefocusAnswer([.. all.OrderBy(r => r.State).ThenBy(r => r.Hang, StringComparer.Ordinal).ThenBy(r => r.Fixture, StringComparer.Ordinal)
            .ThenBy(r => r.Position)], _new.Name, _old.Venue, _new.Venue, NotAsked(positions, positions.Count - rows.Count))
        {
            Winches = _winches.Rows(end),
            Mirrors = [.. turns.Rows(_levels)],
        };
    }

    /// <summary>Both venues at a time, the winches of the new one as high over the floor as those of the old one.</summary>
    private ((Moment Moment, Pose[] Roots) Was, (Moment Moment, Pose[] Roots) Now) At(TimeSpan time, MirrorTurn? turned)
    {
        _winches.Hold(time);
        turned?.Stand(_after, true);
        var both = ((_before.MomentAt(time), _before.RootsAt(time)), (_after.MomentAt(time), _after.RootsAt(time)));
        turned?.Stand(_after, false);
        return both;
    }

    private List<(HeldPosition Position, PositionProblem Problem)> AskAll(TimeSpan time, IReadOnlyList<HeldPosition> held, MirrorTurn? turned = null)
    {
        var (was, now) = At(time, turned);
        var finder = new AnchorFinder(_old, was.Roots, was.Moment, held);
        var places = new AnchorPlaces(_old, was.Moment, _new, now.Moment);
        var solver = new HeadSolver(_new, now.Moment);
        var rows = new List<(HeldPosition Position, PositionProblem Problem)>();
        foreach (var position in held)
        {
            if (finder.Of(position.Fixture) is { } guess)
            {
                var problem = Ask(position, Stated(position, guess), finder.BeamOf(position.Fixture), solver, finder.Mirrors, places, was.Roots,
                    now.Roots, held);
                rows.Add((position, problem with { At = time, Held = held, Turned = turned }));
            }
        }

        return rows;
    }

    /// <summary>The same positions with a mirror turned otherwise.</summary>
    private IEnumerable<(PositionProblem Before, PositionProblem After)> AskAgain(IReadOnlyList<PositionProblem> problems, MirrorTurn turned)
    {
        foreach (var look in problems.GroupBy(p => p.At))
        {
            var anew = AskAll(look.Key, look.First().Held, turned).ToDictionary(r => r.Problem.Position, r => r.Problem);
            foreach (var p in look)
            {
                yield return (p, anew[p.Position]);
            }
        }
    }

    /// <summary>What a person says instead of a guess.</summary>
    private Anchor Stated(HeldPosition position, Anchor guess)
    {
        var stated = _stated.FirstOrDefault(s => s.Fixtures.Contains(position.Fixture) && (s.Position is null || s.Position == position.Number)
            && (s.Cue.Length == 0 || CuesOf(position).Contains(s.Cue, StringComparer.OrdinalIgnoreCase)));
        if (stated is null)
        {
            return guess;
        }

        _fitted.Add(stated);
        return guess with
        {
            Kind = AnchorKind.Stated,
            Name = stated.Name.Length > 0 ? stated.Name : Texts.Point(stated.At),
            Place = stated.At,
            Local = stated.At,
            Via = stated.Via ?? guess.Via,
            Why = $"stated in {stated.Where}",
            Length = guess.Kind == AnchorKind.Direction ? 0 : guess.Length,
        };
    }

    private List<string> NotAsked(IReadOnlyList<HeldPosition> positions, int without)
    {
        var said = new List<string>
        {
            "heads that stand still while lit: moves that never rest keep their levels",
        };
        if (without > 0)
        {
            said.Add($"{without} of {positions.Count} positions have no beam that could be followed");
        }

        said.AddRange(_stated.Where(s => !_fitted.Contains(s)).Select(s => $"{s.Where} fits no position"));
        return said;
    }

    /// <summary>Times at which to look, as few as do, each with the positions that are held then by their longest use.</summary>
    private static IEnumerable<(double At, List<HeldPosition> Held)> Looks(IReadOnlyList<HeldPosition> positions)
    {
        var open = positions.Select(p => (Position: p, Use: p.Uses.MaxBy(u => u.Seconds)!)).OrderBy(p => p.Use.To).ToList();
        while (open.Count > 0)
        {
            // The one that ends first decides: a little before its end, well within it.
            var at = open[0].Use.To - Math.Min(.05, open[0].Use.Seconds / 4);
            var now = open.Where(p => p.Use.From <= at && p.Use.To >= at).ToList();
            open.RemoveAll(p => p.Use.From <= at && p.Use.To >= at);
            yield return (at, [.. now.Select(p => p.Position)]);
        }
    }

    private PositionProblem Ask(
        HeldPosition position, Anchor anchor, Beam? beam, HeadSolver solver, IReadOnlyDictionary<string, Vector3[]> mirrors, AnchorPlaces places,
        Pose[] oldRoots, Pose[] roots, IReadOnlyList<HeldPosition> held)
    {
        var old = _old[position.Fixture];
        var zoom = beam is { } b ? 2 * b.Profile.HalfBeamRadians : (float?)null;
        var problem = new PositionProblem(position, anchor, anchor.Place, solver)
        {
            OldRoot = oldRoots[old.Index.Value], OldWay = anchor.Length, Zoom = zoom, Apex = beam?.StartDistance ?? 0,
        };
        if (!_byName.TryGetValue(old.Name, out var fixture) || PanTilt.Beam(fixture, 0, 0, roots[fixture.Index.Value]) is null)
        {
            var (there, _) = places.Of(anchor, anchor.Place);
            return problem with { Target = there, Why = TakeOver(old, anchor, there, solver, roots, held) };
        }

        var root = roots[fixture.Index.Value];
        var (target, note) = places.Of(anchor, PanTilt.Beam(fixture, position.Pan, position.Tilt, root)!.Value.Position);
        var ways = solver.Solve(fixture, root, target, anchor.Via, out var why);
        var same = IsAsBefore(old, fixture, oldRoots[old.Index.Value], root, anchor, target, mirrors, solver);
        if (same)
        {
            // Nothing that matters is another: its values stay to the last bit, whatever rounding a solution has.
            var stays = PanTilt.IsWithin(fixture, position.Pan, position.Tilt);
            var aimed = ways.Count > 0 ? ways.MinBy(w => Math.Abs(w.Pan - position.Pan) + Math.Abs(w.Tilt - position.Tilt))!.Aimed : target;
            ways = stays ? [new Candidate(position.Pan, position.Tilt, aimed, solver.MirrorsOf(anchor.Via))] : ways;
            why = stays ? "" : why;
        }

        return problem with { Fixture = fixture, Root = root, Target = target, Ways = ways, Why = why.Length > 0 ? why : note, Stays = same };
    }

    private static bool IsAsBefore(
        Fixture old, Fixture now, Pose a, Pose b, Anchor anchor, Vector3 target, IReadOnlyDictionary<string, Vector3[]> mirrors, HeadSolver solver)
    {
        return Vector3.Distance(a.Position, b.Position) < Near && MathF.Abs(Quaternion.Dot(a.Orientation, b.Orientation)) > 1 - 1e-7f
            && old.Profile.Name == now.Profile.Name
            && (anchor.Kind == AnchorKind.Direction || Vector3.Distance(target, anchor.Place) < Near)
            && anchor.Via.All(m => solver.OutlineOf(m) is { } outline && mirrors.TryGetValue(m, out var was) && was.Length == outline.Length
                && was.Zip(outline).All(p => Vector3.Distance(p.First, p.Second) < Near));
    }

    /// <summary>The rows of one fixture, with moves that come later than before.</summary>
    private static IEnumerable<RefocusRow> WithLate(IEnumerable<(HeldPosition Position, PositionProblem Problem, RefocusRow Row)> all)
    {
        var rows = all.OrderBy(r => r.Position.Number).ToList();
        if (rows[0].Problem.Fixture is not { } fixture)
        {
            return rows.Select(r => r.Row);
        }

        var late = LateMoves.Of(fixture, [.. rows.Where(r => r.Row.NewPan is not null).Select(r => (r.Position, r.Row.NewPan!.Value, r.Row.NewTilt!.Value))]);
        return rows.Select(r => late.TryGetValue(r.Position, out var seconds) ? r.Row with { LateSeconds = Math.Round(seconds, 2) } : r.Row);
    }

    private RefocusRow Row(HeldPosition position, PositionProblem problem, Candidate? way)
    {
        var old = _old[position.Fixture];
        var row = new RefocusRow
        {
            Fixture = old.Name,
            FixtureNumber = old.Number,
            Hang = problem.Fixture?.Position ?? old.Position,
            Position = position.Number,
            Times = [.. position.Uses.Select(u => Math.Round(u.From, 2))],
            Cues = CuesOf(position),
            State = RefocusState.Kept,
            Anchor = problem.Anchor,
            At = problem.Anchor.Kind == AnchorKind.Direction ? null : problem.Target,
            OldPan = position.Pan,
            OldTilt = position.Tilt,
            Zoom = problem.Zoom is { } z ? Angles.Degrees(z) : null,
        };
        if (problem.Fixture is not { } fixture)
        {
            return row with { State = RefocusState.NotThere, Detail = problem.Why };
        }

        var root = problem.Root;
        if (way is null)
        {
            return row with
            {
                State = RefocusState.OutOfReach,
                Detail = problem.Why + "; " + problem.Solver.Cure(fixture, root, problem.Target, problem.Anchor.Via),
            };
        }

        // The same head at the same place with the same anchor keeps its values to the last bit.
        var near = Math.Abs(way.Pan - position.Pan) < Step && Math.Abs(way.Tilt - position.Tilt) < Step;
        way = near ? way with { Pan = position.Pan, Tilt = position.Tilt } : way;
        var length = Vector3.Distance(PanTilt.Beam(fixture, way.Pan, way.Tilt, root)!.Value.Position, way.Aimed);
        var factor = problem.Anchor.Kind == AnchorKind.Direction || problem.OldWay <= 0 ? (double?)null : length / problem.OldWay;
        var wider = factor is null ? (double?)null : (problem.Apex + length) / (problem.Apex + problem.OldWay);
        row = row with
        {
            NewPan = way.Pan,
            NewTilt = way.Tilt,
            Way = problem.Solver.Axis(fixture, root, way, problem.Target),
            LuxFactor = wider is { } f ? 1 / (f * f) : null,
            SpotFactor = wider,
            LuxFactorHeld = factor is not null && problem.Zoom is { } angle ? HeldLight.Lux(fixture, angle, problem.Apex, problem.OldWay, length) : null,
            ZoomThatHolds = factor is { } g && problem.Zoom is { } zoom ? HeldLight.Zoom(_levels, fixture, zoom, g) : null,
            Optics = HeldLight.Of(_levels, fixture, position, factor),
            Channels = _levels.Of(fixture, ("Pan", way.Pan), ("Tilt", way.Tilt)),
            Detail = problem.Why,
        };
        row = row with { Cone = ConeTest.Of(problem, old, fixture, way, row) };
        var own = ConeTest.Own(problem.Anchor);
        var stays = near && problem.Stays;
        if (problem.Anchor.Kind != AnchorKind.Direction && problem.Solver.InTheWay(fixture, root, way, problem.Target, own) is { Length: > 0 } obstacle)
        {
            return row with { State = RefocusState.Obstructed, Detail = ConeTest.Said(row, obstacle) };
        }

        if (row.Cone.Where(c => c.Effect == ConeEffect.Shaded).Sum(c => Math.Max(0, c.Share - c.Before)) >= MostShaded)
        {
            return row with { State = RefocusState.Obstructed, Detail = ConeTest.Said(row) };
        }

        var audience = problem.Solver.Audience(fixture, root, way, problem.Target);
        row = row with { Detail = ConeTest.Said(row, audience is null ? "" : $"its axis enters {audience.Name}", onlyMore: stays) };
        if (row.Cone.Any(c => c.Effect == ConeEffect.Audience && (c.IsMore || !stays)))
        {
            return row with { State = RefocusState.Audience };
        }

        return near ? row
            : row with
            {
                State = Math.Abs(way.Pan - position.Pan) > OtherWay || (way.Tilt * position.Tilt < 0 && Math.Abs(way.Tilt - position.Tilt) > 20)
                    ? RefocusState.Flipped : RefocusState.Moved,
            };
    }

    /// <summary>Fixtures of the same type that reach the anchor with nothing in the way, those that are dark then and the nearest first.</summary>
    private string TakeOver(Fixture old, Anchor anchor, Vector3 target, HeadSolver solver, Pose[] roots, IReadOnlyList<HeldPosition> held)
    {
        var lit = held.Select(h => _old[h.Fixture].Name).ToHashSet(StringComparer.Ordinal);
        var able = _new.Fixtures.Where(f => f.Profile.Name == old.Profile.Name && f.Name != old.Name)
            .Select(f => (Fixture: f, Root: roots[f.Index.Value])).OrderBy(f => lit.Contains(f.Fixture.Name))
            .ThenBy(f => Vector3.Distance(f.Root.Position, target))
            .Where(f => solver.Solve(f.Fixture, f.Root, target, anchor.Via, out _).Any(w => anchor.Kind == AnchorKind.Direction
                || solver.InTheWay(f.Fixture, f.Root, w, target, ConeTest.Own(anchor)).Length == 0))
            .Take(3).Select(f => f.Fixture.Name + (lit.Contains(f.Fixture.Name) ? " (held elsewhere then)" : "")).ToList();
        return able.Count == 0 ? "no other of its type reaches it" : $"{string.Join(", ", able)} could reach it";
    }

    private IReadOnlyList<string> CuesOf(HeldPosition position) =>
        [.. position.Uses.Select(u => CueAt(u.From + .05)).Where(c => c.Length > 0).Distinct(StringComparer.Ordinal)];

    private string CueAt(double at) => _cues.LastOrDefault(c => c.At <= at).Name ?? "";
}
