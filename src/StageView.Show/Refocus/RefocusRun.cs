using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Anchors;
using StageView.Stage.Heads;
using StageView.Stage.Levels;

namespace StageView.Show.Refocus;

/// <summary>Works out where every held position of a show is in another venue.</summary>
public sealed class RefocusRun
{
    /// <summary>Pans farther from each other than this go another way round, degrees.</summary>
    private const float OtherWay = 90;

    /// <summary>Less is less than a step of a 16-bit axis, degrees.</summary>
    private const float Step = .01f;

    /// <summary>Places nearer to each other are the same, m.</summary>
    private const float Near = 1e-4f;

    private readonly RigScene _old, _new;
    private readonly StageModel _before, _after;
    private readonly Pose[] _roots;
    private readonly Pose[] _oldRoots;
    private readonly LevelsEncoder _levels;
    private readonly Dictionary<string, Fixture> _byName;
    private readonly IReadOnlyList<(string Name, double At)> _cues;
    private readonly IReadOnlyList<StatedAnchor> _stated;
    private readonly HashSet<StatedAnchor> _fitted = new(ReferenceEqualityComparer.Instance);

    private RefocusRun(ShowSource before, ShowSource after, IReadOnlyList<(string Name, double At)> cues, IReadOnlyList<StatedAnchor> stated)
    {
        (_before, _after, _cues, _stated) = (before.Stage, after.Stage, cues, stated);
        (_old, _new) = (before.Stage.Rig, after.Stage.Rig);
        (_oldRoots, _roots) = (PlacesAtRest.Roots(_old), PlacesAtRest.Roots(_new));
        _levels = new LevelsEncoder(_new);
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
        var rows = new List<(HeldPosition Position, Problem Problem)>();
        var without = 0;
        foreach (var (at, held) in Looks(positions))
        {
            var time = TimeSpan.FromSeconds(at);
            var finder = new AnchorFinder(_old, _oldRoots, _before.MomentAt(time), held);
            var wanted = held.Select(h => (Held: h, Anchor: finder.Of(h.Fixture) is { } guess ? Stated(h, guess) : null)).ToList();
            var solver = new HeadSolver(_new, _after.MomentAt(time));
            var mirrors = finder.Mirrors;
            foreach (var (position, anchor) in wanted)
            {
                if (anchor is null)
                {
                    without++;
                    continue;
                }

                rows.Add((position, Ask(position, anchor, finder.BeamOf(position.Fixture), solver, mirrors)));
            }
        }

        var answered = rows.GroupBy(r => r.Position.Fixture).SelectMany(g => Choose([.. g.OrderBy(r => r.Position.Number)]));
        return new RefocusAnswer([.. answered.OrderBy(r => r.State).ThenBy(r => r.Hang, StringComparer.Ordinal).ThenBy(r => r.Fixture, StringComparer.Ordinal)
            .ThenBy(r => r.Position)], _new.Name, _old.Venue, _new.Venue, NotAsked(positions, without));
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
            "pan and tilt of heads that stand still while lit; moves that never rest, winches and turning mirrors keep their levels",
            "the axis of each beam, not its edge: cautions looks at cones",
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

    /// <summary>What one position asks, and all ways to answer it.</summary>
    private sealed record Problem(
        Anchor Anchor, Fixture? Fixture, Vector3 Target, IReadOnlyList<Candidate> Ways, string Why, HeadSolver Solver, float OldWay, float? Zoom)
    {
        /// <summary>Whether nothing that matters is another.</summary>
        public bool Stays { get; init; }
    }

    private Problem Ask(HeldPosition position, Anchor anchor, Beam? beam, HeadSolver solver, IReadOnlyDictionary<string, Vector3[]> mirrors)
    {
        var old = _old[position.Fixture];
        var zoom = beam is { } b ? 2 * b.Profile.HalfBeamRadians : (float?)null;
        if (!_byName.TryGetValue(old.Name, out var fixture) || PanTilt.Beam(fixture, 0, 0, _roots[fixture.Index.Value]) is null)
        {
            return new Problem(anchor, null, anchor.Place, [], "", solver, 0, zoom);
        }

        var root = _roots[fixture.Index.Value];
        var (target, note) = Target(anchor, PanTilt.Beam(fixture, position.Pan, position.Tilt, root)!.Value.Position);
        var ways = solver.Solve(fixture, root, target, anchor.Via, out var why);
        var same = IsAsBefore(old, fixture, anchor, target, mirrors, solver);
        if (same)
        {
            // Nothing that matters is another: its values stay to the last bit, whatever rounding a solution has.
            var stays = PanTilt.IsWithin(fixture, position.Pan, position.Tilt);
            var aimed = ways.Count > 0 ? ways.MinBy(w => Math.Abs(w.Pan - position.Pan) + Math.Abs(w.Tilt - position.Tilt))!.Aimed : target;
            ways = stays ? [new Candidate(position.Pan, position.Tilt, aimed, solver.MirrorsOf(anchor.Via))] : ways;
            why = stays ? "" : why;
        }

        return new Problem(anchor, fixture, target, ways, why.Length > 0 ? why : note, solver, anchor.Length, zoom) { Stays = same };
    }

    private bool IsAsBefore(Fixture old, Fixture now, Anchor anchor, Vector3 target, IReadOnlyDictionary<string, Vector3[]> mirrors, HeadSolver solver)
    {
        var (a, b) = (_oldRoots[old.Index.Value], _roots[now.Index.Value]);
        return Vector3.Distance(a.Position, b.Position) < Near && MathF.Abs(Quaternion.Dot(a.Orientation, b.Orientation)) > 1 - 1e-7f
            && old.Profile.Name == now.Profile.Name
            && (anchor.Kind == AnchorKind.Direction || Vector3.Distance(target, anchor.Place) < Near)
            && anchor.Via.All(m => solver.OutlineOf(m) is { } outline && mirrors.TryGetValue(m, out var was) && was.Length == outline.Length
                && was.Zip(outline).All(p => Vector3.Distance(p.First, p.Second) < Near));
    }

    /// <summary>Where an anchor is in the new venue, m, and what is to be said of that.</summary>
    private (Vector3 Place, string Note) Target(Anchor anchor, Vector3 lens)
    {
        switch (anchor.Kind)
        {
            case AnchorKind.Point:
                return _new.FocusPoints.FirstOrDefault(p => p.Name == anchor.Name) is { } point ? (point.Position, "")
                    : (anchor.Place, $"{anchor.Name} is no named point here: taken where it was");
            case AnchorKind.Person or AnchorKind.Piece:
                return _new.Scenery.FirstOrDefault(s => s.Name == anchor.Name && s.Carrier is null) is { } piece
                    ? (piece.Pose.TransformPoint(anchor.Local), "")
                    : (anchor.Place, $"{anchor.Name} is not here: taken where it was");
            case AnchorKind.Audience:
                return _new.Volumes.FirstOrDefault(v => v.Name == anchor.Name) is { } volume ? (volume.Pose.TransformPoint(anchor.Local), "")
                    : (anchor.Place, $"{anchor.Name} is not here: taken where it was");
            case AnchorKind.Direction when anchor.Via.Count == 0:
                return (lens + (anchor.Place * 50), "");
            default:
                return (anchor.Place, "");
        }
    }

    /// <summary>
    /// One way for each position of a fixture: those that stay nearest to the old values, and whose changes from one to the next stay nearest to the old
    /// changes, so that fades keep their way round (the cheapest path through all candidates; Viterbi 1967, Bellman 1957).
    /// </summary>
    private IEnumerable<RefocusRow> Choose(IReadOnlyList<(HeldPosition Position, Problem Problem)> all)
    {
        var solved = all.Where(a => a.Problem.Ways.Count > 0).ToList();
        var cost = new List<double[]>();
        var from = new List<int[]>();
        for (var i = 0; i < solved.Count; i++)
        {
            var (position, problem) = solved[i];
            var costs = new double[problem.Ways.Count];
            var back = new int[problem.Ways.Count];
            for (var w = 0; w < costs.Length; w++)
            {
                var way = problem.Ways[w];
                costs[w] = Math.Abs(way.Pan - position.Pan) + Math.Abs(way.Tilt - position.Tilt);
                if (i == 0)
                {
                    continue;
                }

                var (before, ways) = (solved[i - 1].Position, solved[i - 1].Problem.Ways);
                var best = Enumerable.Range(0, ways.Count).MinBy(v => cost[i - 1][v] + Turn(ways[v], way, before, position));
                (back[w], costs[w]) = (best, costs[w] + cost[i - 1][best] + Turn(ways[best], way, before, position));
            }

            cost.Add(costs);
            from.Add(back);
        }

        var taken = new Dictionary<HeldPosition, Candidate>(ReferenceEqualityComparer.Instance);
        for (int i = solved.Count - 1, w = i < 0 ? 0 : Array.IndexOf(cost[i], cost[i].Min()); i >= 0; w = from[i][w], i--)
        {
            taken[solved[i].Position] = solved[i].Problem.Ways[w];
        }

        var rows = all.Select(a => (a.Position, Row: Row(a.Position, a.Problem, taken.GetValueOrDefault(a.Position)))).ToList();
        if (all[0].Problem.Fixture is not { } fixture)
        {
            return rows.Select(r => r.Row);
        }

        var late = LateMoves.Of(fixture, [.. rows.Where(r => r.Row.NewPan is not null).Select(r => (r.Position, r.Row.NewPan!.Value, r.Row.NewTilt!.Value))]);
        return rows.Select(r => late.TryGetValue(r.Position, out var seconds) ? r.Row with { LateSeconds = Math.Round(seconds, 2) } : r.Row);

        static double Turn(Candidate a, Candidate b, HeldPosition x, HeldPosition y) =>
            Math.Abs(b.Pan - a.Pan - (y.Pan - x.Pan)) + Math.Abs(b.Tilt - a.Tilt - (y.Tilt - x.Tilt));
    }

    private RefocusRow Row(HeldPosition position, Problem problem, Candidate? way)
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
            return row with { State = RefocusState.NotThere, Detail = TakeOver(old, problem) };
        }

        var root = _roots[fixture.Index.Value];
        if (way is null)
        {
            return row with
            {
                State = RefocusState.OutOfReach,
                Detail = problem.Why + (problem.Anchor.Via.Count == 0 ? "; " + HeadSolver.Cure(fixture, root, problem.Target) : ""),
            };
        }

        // The same head at the same place with the same anchor keeps its values to the last bit.
        var near = Math.Abs(way.Pan - position.Pan) < Step && Math.Abs(way.Tilt - position.Tilt) < Step;
        way = near ? way with { Pan = position.Pan, Tilt = position.Tilt } : way;
        var length = Vector3.Distance(PanTilt.Beam(fixture, way.Pan, way.Tilt, root)!.Value.Position, way.Aimed);
        var factor = problem.Anchor.Kind == AnchorKind.Direction || problem.OldWay <= 0 ? (double?)null : length / problem.OldWay;
        row = row with
        {
            NewPan = way.Pan,
            NewTilt = way.Tilt,
            Way = problem.Solver.Axis(fixture, root, way, problem.Target),
            LuxFactor = factor is { } f ? 1 / (f * f) : null,
            SpotFactor = factor,
            ZoomThatHolds = factor is { } g && problem.Zoom is { } zoom ? Holding(fixture, zoom, g) : null,
            Channels = Channels(fixture, way),
            Detail = problem.Why,
        };
        var own = problem.Anchor.Kind is AnchorKind.Piece or AnchorKind.Person ? problem.Anchor.Name : "";
        if (problem.Anchor.Kind != AnchorKind.Direction && problem.Solver.InTheWay(fixture, root, way, problem.Target, own) is { Length: > 0 } obstacle)
        {
            return row with { State = RefocusState.Obstructed, Detail = obstacle };
        }

        if (problem.Solver.Audience(fixture, root, way, problem.Target) is { } volume)
        {
            var said = $"its axis enters {volume.Name}: light into eyes can hurt; what may be pointed where is decided on site";
            return row with { State = near && problem.Stays ? RefocusState.Kept : RefocusState.Audience, Detail = said };
        }

        return near ? row
            : row with
            {
                State = Math.Abs(way.Pan - position.Pan) > OtherWay || (way.Tilt * position.Tilt < 0 && Math.Abs(way.Tilt - position.Tilt) > 20)
                    ? RefocusState.Flipped : RefocusState.Moved,
            };
    }

    /// <summary>Fixtures of the same type that reach the anchor in the new venue, the nearest first.</summary>
    private string TakeOver(Fixture old, Problem problem)
    {
        var (target, _) = Target(problem.Anchor, problem.Anchor.Place);
        var able = _new.Fixtures.Where(f => f.Profile.Name == old.Profile.Name && f.Name != old.Name)
            .Select(f => (Fixture: f, Root: _roots[f.Index.Value])).OrderBy(f => Vector3.Distance(f.Root.Position, target))
            .Where(f => problem.Solver.Solve(f.Fixture, f.Root, target, problem.Anchor.Via, out _).Count > 0).Take(3).Select(f => f.Fixture.Name).ToList();
        return able.Count == 0 ? "no other of its type reaches it" : $"{string.Join(", ", able)} could reach it";
    }

    /// <summary>The beam angle at which the spot is as wide as before, degrees; null where the fixture has none such.</summary>
    private float? Holding(Fixture fixture, float zoom, double factor)
    {
        var degrees = Angles.Degrees(2 * MathF.Atan(MathF.Tan(zoom / 2) / (float)factor));
        return _levels.TrySet(fixture, "Zoom", degrees, out _) ? degrees : null;
    }

    private List<AimChannel> Channels(Fixture fixture, Candidate way)
    {
        var answer = new List<AimChannel>();
        foreach (var (attribute, degrees) in ((string, float)[])[("Pan", way.Pan), ("Tilt", way.Tilt)])
        {
            if (!_levels.TrySet(fixture, attribute, degrees, out _))
            {
                continue;
            }

            foreach (var channel in fixture.Mode.Channels.Where(c => c.Offsets.Count > 0 && c.Functions.Any(f => f.Attribute == attribute)))
            {
                var start = fixture.Patch.FirstOrDefault(p => p.Break == channel.Break);
                var addresses = start.Break == 0 ? [] : channel.Offsets.Select(o => Wire.Universes.UniverseAddress.FromAbsolute(start.Start.Absolute + o - 1));
                answer.Add(new AimChannel(attribute, string.Join('/', addresses), _levels.RawOf(fixture, channel), channel.MaxValue));
            }
        }

        return answer;
    }

    private IReadOnlyList<string> CuesOf(HeldPosition position) =>
        [.. position.Uses.Select(u => CueAt(u.From + .05)).Where(c => c.Length > 0).Distinct(StringComparer.Ordinal)];

    private string CueAt(double at) => _cues.LastOrDefault(c => c.At <= at).Name ?? "";
}
