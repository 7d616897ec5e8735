using System.Globalization;
using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage;
using StageView.Stage.Heads;

namespace StageView.Show.Refocus;

/// <summary>A turning mirror that stands otherwise than the levels say.</summary>
/// <param name="Fixture">The fixture that turns it, in the new venue.</param>
/// <param name="Pan">Degrees.</param>
/// <param name="Tilt">Degrees.</param>
internal sealed record MirrorTurn(Fixture Fixture, float Pan, float Tilt)
{
    /// <summary>Lets it stand so, or follow the levels again.</summary>
    public void Stand(StageModel stage, bool so)
    {
        foreach (var node in Fixture.Mode.Geometry)
        {
            if (node.Axis?.Motion is AxisMotion.TurnZ or AxisMotion.TurnX)
            {
                stage.Stand(Fixture.Index, node.Index, so ? node.Axis.Motion == AxisMotion.TurnZ ? Pan : Tilt : null);
            }
        }
    }

    /// <summary>Pan and tilt of a fixture by the levels at a time, degrees.</summary>
    public static (float Pan, float Tilt) Held(StageModel stage, Fixture fixture, TimeSpan at)
    {
        return (One(AxisMotion.TurnZ), One(AxisMotion.TurnX));

        float One(AxisMotion motion) => fixture.Mode.Geometry.FirstOrDefault(g => g.Axis?.Motion == motion) is { } node
            ? (float)stage.AxisAt(at, fixture.Index, node.Index) : 0;
    }
}

/// <summary>
/// Turns mirrors anew whose beams would miss them in the new venue. A mirror keeps the angle it is held at wherever the heads that go by it can reach their
/// anchors so; else it is turned so that light from the middle of those heads reaches the middle of their anchors, or one of them its own, whichever serves
/// most.
/// </summary>
internal sealed class MirrorTurns
{
    /// <summary>Turns that are tried beyond the first.</summary>
    private const int MostTried = 8;

    private readonly List<(MirrorTurn Turn, (float Pan, float Tilt) Was, IReadOnlyList<PositionProblem> For)> _turns = [];

    /// <summary>Problems that are asked anew, by what they were.</summary>
    public IReadOnlyDictionary<PositionProblem, PositionProblem> Problems { get; private init; } = new Dictionary<PositionProblem, PositionProblem>();

    /// <param name="after">The show in the new venue.</param>
    /// <param name="problems">All positions.</param>
    /// <param name="levels">Of the new venue.</param>
    /// <param name="again">Asks some of them again with a mirror turned.</param>
    public static MirrorTurns Of(
        StageModel after, IReadOnlyList<PositionProblem> problems, AxisLevels levels,
        Func<IReadOnlyList<PositionProblem>, MirrorTurn, IEnumerable<(PositionProblem Before, PositionProblem After)>> again)
    {
        var anew = new Dictionary<PositionProblem, PositionProblem>();
        var turns = new MirrorTurns { Problems = anew };
        var byMirror = problems.Where(p => p is { Fixture: not null, Anchor.Via.Count: 1 })
            .Select(p => (Problem: p, Mirror: TurnerOf(after.Rig, p.Anchor.Via[0]))).Where(p => p.Mirror is not null)
            .Select(p => (p.Problem, Mirror: p.Mirror!, Held: MirrorTurn.Held(after, p.Mirror!, p.Problem.At)))
            .GroupBy(p => (p.Mirror.Index, MathF.Round(2 * p.Held.Pan), MathF.Round(2 * p.Held.Tilt)));
        foreach (var group in byMirror.Select(g => g.ToList()))
        {
            var (mirror, held) = (group[0].Mirror, group[0].Held);
            var all = group.ConvertAll(g => g.Problem);
            var best = all.Select(p => (Before: p, After: p)).ToList();
            var (served, turned) = (all.Count(p => p.Ways.Count > 0), (MirrorTurn?)null);
            foreach (var turn in Turns(after, mirror, held, all, levels))
            {
                if (served == all.Count)
                {
                    break;
                }

                var tried = again(all, turn).ToList();
                var serves = tried.Count(t => t.After.Ways.Count > 0);
                (best, served, turned) = serves > served ? (tried, serves, turn) : (best, served, turned);
            }

            if (turned is null)
            {
                continue;
            }

            foreach (var (before, now) in best)
            {
                var said = string.Create(CultureInfo.InvariantCulture, $"{mirror.Name} turned to pan {turned.Pan:0.00}, tilt {turned.Tilt:0.00}");
                anew[before] = now with { Why = now.Why.Length > 0 ? $"{now.Why}; {said}" : said };
            }

            turns._turns.Add((turned, held, all));
        }

        return turns;
    }

    /// <summary>What the operator has to store for mirrors.</summary>
    public IEnumerable<MirrorRow> Rows(AxisLevels levels) => _turns.Select(t => new MirrorRow(
        t.Turn.Fixture.Name, t.Turn.Fixture.Number, t.Turn.Fixture.Position,
        [.. t.For.SelectMany(p => p.Position.Uses).Select(u => Math.Round(u.From, 2)).Distinct().Order()],
        t.Was.Pan, t.Was.Tilt, t.Turn.Pan, t.Turn.Tilt, [.. t.For.Select(p => $"{p.Fixture!.Name}, position {p.Position.Number}")],
        levels.Of(t.Turn.Fixture, ("Pan", t.Turn.Pan), ("Tilt", t.Turn.Tilt))));

    /// <summary>The turns that could serve, the one for the middle of all first; as their channels can have them.</summary>
    private static IEnumerable<MirrorTurn> Turns(StageModel after, Fixture mirror, (float Pan, float Tilt) held, List<PositionProblem> all, AxisLevels levels)
    {
        var root = after.RootsAt(all[0].At)[mirror.Index.Value];
        var middle = (From: Middle(all.Select(p => p.Root.Position)), To: Middle(all.Select(p => p.Target)));
        var own = all.Where(p => p.Ways.Count == 0).Take(MostTried).Select(p => (From: Lens(p), To: p.Target));
        foreach (var (from, to) in own.Prepend(all.Count == 1 ? (Lens(all[0]), all[0].Target) : middle))
        {
            var found = PanTilt.TurnMirror(mirror, from, to, root).OrderBy(s => Math.Abs(s.PanDegrees - held.Pan) + Math.Abs(s.TiltDegrees - held.Tilt))
                .Cast<PanTiltSolution?>().FirstOrDefault();
            if (found is { } s)
            {
                var (pan, tilt) = levels.Snapped(mirror, s.PanDegrees, s.TiltDegrees);
                yield return new MirrorTurn(mirror, pan, tilt);
            }
        }

        Vector3 Lens(PositionProblem p) => PanTilt.Beam(p.Fixture!, p.Position.Pan, p.Position.Tilt, p.Root)!.Value.Position;
    }

    private static Vector3 Middle(IEnumerable<Vector3> points)
    {
        var all = points.ToList();
        return all.Aggregate(Vector3.Zero, (a, b) => a + b) / all.Count;
    }

    /// <summary>The fixture that turns a mirror of this name; null for one that is fixed or not there.</summary>
    private static Fixture? TurnerOf(RigScene rig, string mirror) => mirror.LastIndexOf('/') is > 0 and var slash
        ? rig.Fixtures.FirstOrDefault(f => f.Name == mirror[..slash]
            && f.Mode.Geometry.Any(g => g.Axis?.Motion is AxisMotion.TurnZ or AxisMotion.TurnX)) : null;
}
