using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Heads;

namespace StageView.Show.Questions;

/// <content>Ways over mirrors that turn. Light goes by the middle of each, so those middles part the way into legs; fixed mirrors on a leg are folded out by
/// image points.</content>
public sealed partial class AimSolver
{
    private const int Rounds = 8;
    private readonly Dictionary<Fixture, Fixture> _turned = new(ReferenceEqualityComparer.Instance);

    private AimResult ByTurning(Fixture fixture, Vector3 target, IReadOnlyList<string> via)
    {
        var turners = new List<(Fixture Fixture, MirrorIndex Mirror)>();
        var runs = new List<List<string>> { new() };
        foreach (var name in via)
        {
            var named = Turning(name).ToList();
            if (named.Count == 0)
            {
                runs[^1].Add(name);
                continue;
            }

            var free = named.Where(n => !_turned.ContainsKey(n.Fixture) && !turners.Contains(n)).ToList();
            if (free.Count == 0)
            {
                var taken = named[0].Fixture;
                return AimResult.Refused(fixture, target, _turned.TryGetValue(taken, out var other)
                    ? $"{taken.Name}'s mirror is turned for {other.Name} already; aim this one in a run of its own"
                    : $"{taken.Name}'s mirror can't be met twice");
            }

            turners.Add(free[0]);
            runs.Add([]);
        }

        var before = turners.Select(t => (t.Fixture, Raw: Axes(t.Fixture).Select(c => (c, _levels.RawOf(t.Fixture, c))).ToList())).ToList();
        var result = Turn(fixture, target, turners, runs);
        if (result.Solutions.Count == 0)
        {
            foreach (var (f, raw) in before)
            {
                raw.ForEach(r => _levels.SetRaw(f, r.c, r.Item2));
            }

            return result;
        }

        turners.ForEach(t => _turned[t.Fixture] = fixture);
        return result;
    }

    private AimResult Turn(Fixture fixture, Vector3 target, List<(Fixture Fixture, MirrorIndex Mirror)> turners, List<List<string>> runs)
    {
        var (start, lens) = (StandsAt(_stage, fixture), PanTilt.Beam(fixture, 0, 0)!.Value.Position);
        var (aim, moment) = (target, Now().Moment);
        IReadOnlyList<PanTiltSolution> heads = [];
        var turns = new PanTiltSolution[turners.Count];
        var mirrors = new List<MirrorIndex>();
        for (var round = 0; round < Rounds; round++)
        {
            Vector3[] stops = [lens, .. turners.Select(t => Middle(moment, t.Mirror)), aim];
            // How the next stop looks from the last one, and the last one from the next, over the fixed mirrors between them.
            var (ahead, back) = (new Vector3[runs.Count], new Vector3[runs.Count]);
            mirrors.Clear();
            for (var k = 0; k < runs.Count; k++)
            {
                (ahead[k], back[k]) = (stops[k + 1], stops[k]);
                if (runs[k].Count > 0)
                {
                    var ways = Ways(moment, stops[k], stops[k + 1], runs[k], out var why);
                    if (ways.Count == 0)
                    {
                        return AimResult.Refused(fixture, target,
                            why + (k == 0 ? $", on the way to {turners[0].Fixture.Name}" : $", on the way from {turners[k - 1].Fixture.Name}"));
                    }

                    mirrors.AddRange(ways[0].Mirrors);
                    (ahead[k], back[k]) = (ways[0].Image, MirrorAim.ImageOfTarget(moment, stops[k + 1], stops[k], [.. ways[0].Mirrors.Reverse()]));
                }

                if (k < turners.Count)
                {
                    mirrors.Add(turners[k].Mirror);
                }
            }

            heads = PanTilt.Aim(fixture, ahead[0]);
            if (heads.Count == 0)
            {
                return AimResult.Refused(fixture, target,
                    $"{turners[0].Fixture.Name} lies outside the limits of its pan and tilt" + (runs[0].Count > 0
                        ? $" by way of {string.Join(", ", runs[0])}" : ""));
            }

            lens = PanTilt.Beam(fixture, heads[0].PanDegrees, heads[0].TiltDegrees)!.Value.Position;
            for (var k = 0; k < turners.Count; k++)
            {
                var found = PanTilt.TurnMirror(turners[k].Fixture, k == 0 && runs[0].Count == 0 ? lens : back[k], ahead[k + 1]);
                if (found.Count == 0)
                {
                    return AimResult.Refused(fixture, target, $"{turners[k].Fixture.Name} can't turn its mirror so that the light goes there");
                }

                turns[k] = found[0];
                Set(turners[k].Fixture, found[0]);
            }

            Set(fixture, heads[0]);
            moment = Now().Moment;
            // What the sheets, the steps of the levels and the middles that moved leave over is aimed off the other way.
            var off = MissAfter(moment, mirrors, lens, PanTilt.Beam(fixture, heads[0].PanDegrees, heads[0].TiltDegrees)!.Value.Direction, target);
            if (off.Length() < 1e-4f)
            {
                break;
            }

            aim -= off * 0.9f;
        }

        var trouble = "";
        var good = new List<AimSolution>();
        foreach (var head in heads)
        {
            Set(fixture, head);
            var s = Measure(fixture, target, [.. mirrors],
                head) with
            { MoveDegrees = Math.Max(Math.Abs(head.PanDegrees - start.Pan), Math.Abs(head.TiltDegrees - start.Tilt)) };
            trouble = s.Trouble.Length > 0 && trouble.Length == 0 ? s.Trouble : trouble;
            good.AddRange(s.Trouble.Length == 0 ? [s] : []);
        }

        if (good.Count == 0)
        {
            return AimResult.Refused(fixture, target, trouble);
        }

        good.Sort((a, b) => a.MoveDegrees.CompareTo(b.MoveDegrees));
        Set(fixture, new PanTiltSolution(good[0].Pan, good[0].Tilt, 0));
        var stage = Now().Stage;
        return new AimResult(fixture, target, good, "",
            [.. turners.Select((t, k) => new AimTurn(t.Fixture, turns[k].PanDegrees, turns[k].TiltDegrees, Channels(stage, t.Fixture)))]);
    }

    /// <summary>How far beside the target a ray passes after its mirrors, as a vector.</summary>
    private static Vector3 MissAfter(Moment moment, List<MirrorIndex> mirrors, Vector3 lens, Vector3 direction, Vector3 target)
    {
        var (at, on) = (lens, direction);
        foreach (var m in mirrors)
        {
            var mirror = moment[m];
            var depth = (float)MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, MathF.Abs(Vector3.Dot(on, mirror.Normal)));
            var plane = moment.OutlineOf(mirror.Outline)[0] - (mirror.Normal * depth);
            at += on * (Vector3.Dot(plane - at, mirror.Normal) / Vector3.Dot(on, mirror.Normal));
            on = Vector3.Reflect(on, mirror.Normal);
        }

        return at + (on * Vector3.Dot(target - at, on)) - target;
    }

    private void Set(Fixture fixture, PanTiltSolution s)
    {
        _levels.TrySet(fixture, "Pan", s.PanDegrees, out _);
        _levels.TrySet(fixture, "Tilt", s.TiltDegrees, out _);
    }

    private static IEnumerable<DmxChannel> Axes(Fixture fixture) => fixture.Mode.Channels.Where(c => c.Offsets.Count > 0);

    /// <summary>The turning mirrors whose names begin so, each with the fixture that turns it.</summary>
    private IEnumerable<(Fixture Fixture, MirrorIndex Mirror)> Turning(string name)
    {
        foreach (var m in Named(name))
        {
            var full = Texts.Mirror(_rest, m);
            var slash = full.LastIndexOf('/');
            if (slash > 0 && _rig.Fixtures.FirstOrDefault(f => f.Name == full[..slash]) is { } fixture)
            {
                yield return (fixture, m);
            }
        }
    }
}
