using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Stage.Programs;

namespace StageView.Show.Questions;

/// <summary>
/// Finds pan and tilt that put a fixture's beam on a point: straight, by way of fixed mirrors, of mirrors that turn, or of both in any order.
/// </summary>
public sealed partial class AimSolver
{
    private const int MostWays = 4000;
    private const int MostTried = 6;
    private const int MostMirrors = 4;

    /// <summary>Something met this close before the target counts as the target itself, m.</summary>
    private const float AtTarget = 0.4f;

    private readonly RigScene _rig;
    private readonly LevelsEncoder _levels;
    private readonly StageModel _stage;
    private readonly Moment _rest;

    /// <param name="rig">The rig.</param>
    /// <param name="levels">How everything stands; solutions are set in it.</param>
    public AimSolver(RigScene rig, LevelsEncoder levels)
    {
        (_rig, _levels) = (rig, levels);
        (_stage, _rest) = Now();
    }

    /// <summary>All ways for one fixture, the shortest move first.</summary>
    /// <param name="fixture">The head.</param>
    /// <param name="target">Where the light shall land, m.</param>
    /// <param name="via">Beginnings of mirror names, first met first; empty for straight.</param>
    public AimResult Solve(Fixture fixture, Vector3 target, IReadOnlyList<string> via)
    {
        if (PanTilt.Beam(fixture, 0, 0) is null)
        {
            return AimResult.Refused(fixture, target, "it has no pan or tilt");
        }

        if (via.Count > MostMirrors)
        {
            return AimResult.Refused(fixture, target, $"light is followed over {MostMirrors} mirrors at most, and {via.Count} are named");
        }

        if (via.Any(name => Turning(name).Any()))
        {
            return ByTurning(fixture, target, via);
        }

        if (via.Count == 0)
        {
            return Judge(fixture, target, [(System.Array.Empty<MirrorIndex>(), target)], "");
        }

        var ways = Ways(fixture, target, via, out var why);
        return ways.Count == 0 ? AimResult.Refused(fixture, target, why) : Judge(fixture, target, ways, why);
    }

    private AimResult Judge(Fixture fixture, Vector3 target, List<(MirrorIndex[] Mirrors, Vector3 Image)> ways, string why)
    {
        var (pan, tilt) = StandsAt(_stage, fixture);
        var good = new List<AimSolution>();
        foreach (var (mirrors, image) in ways.Take(MostTried))
        {
            foreach (var s in PanTilt.Aim(fixture, image))
            {
                // Pan and tilt come out again as the levels have them: the landing is the console's, not the formula's.
                if (!_levels.TrySet(fixture, "Pan", s.PanDegrees, out why) & !_levels.TrySet(fixture, "Tilt", s.TiltDegrees, out var also))
                {
                    why = why.Length > 0 ? why : also;
                    continue;
                }

                var solution = Measure(fixture, target, mirrors,
                    s) with
                { MoveDegrees = Math.Max(Math.Abs(s.PanDegrees - pan), Math.Abs(s.TiltDegrees - tilt)) };
                if (solution.Trouble.Length == 0)
                {
                    good.Add(solution);
                }
                else
                {
                    why = solution.Trouble;
                }
            }
        }

        if (good.Count == 0)
        {
            var limits = PanTilt.Aim(fixture, ways[0].Image).Count == 0 ? "it lies outside the limits of pan and tilt" : why;
            return AimResult.Refused(fixture, target, limits);
        }

        // Of several panels that would do, the one that passes most of the beam; of its solutions the shortest move.
        var best = good.GroupBy(s => string.Join(',', s.Mirrors)).OrderByDescending(g => g.Max(s => s.Arriving)).First();
        var sorted = best.OrderBy(s => s.MoveDegrees).ToList();
        _levels.TrySet(fixture, "Pan", sorted[0].Pan, out _);
        _levels.TrySet(fixture, "Tilt", sorted[0].Tilt, out _);
        return new AimResult(fixture, target, sorted, "", []);
    }

    private List<(MirrorIndex[] Mirrors, Vector3 Image)> Ways(Fixture fixture, Vector3 target, IReadOnlyList<string> via, out string why)
    {
        var found = Ways(_rest, PanTilt.Beam(fixture, 0, 0)!.Value.Position, target, via, out why);
        return [.. found.Select(f => (f.Mirrors, f.Image))];
    }

    /// <summary>Every choice of fixed mirrors of those names that light can take between two points, nearest to the mirrors' middles first.</summary>
    private List<(float Off, MirrorIndex[] Mirrors, Vector3 Image)> Ways(Moment moment, Vector3 from, Vector3 target, IReadOnlyList<string> via, out string why)
    {
        IEnumerable<MirrorIndex[]> combined = [[]];
        foreach (var name in via)
        {
            var fits = Named(name);
            combined = combined.SelectMany(c => fits.Where(m => c.Length == 0 || c[^1] != m).Select(m => (MirrorIndex[])[.. c, m]));
        }

        var found = new List<(float Off, MirrorIndex[] Mirrors, Vector3 Image)>();
        var meets = new Vector3[via.Count];
        var (tried, missed) = (0, 0);
        var nearest = (Beside: float.PositiveInfinity, Mirror: MirrorIndex.None, At: Vector3.Zero);
        foreach (var mirrors in combined.Take(MostWays))
        {
            tried++;
            System.Array.Fill(meets, new Vector3(float.NaN));
            if (!MirrorAim.TryPath(moment, from, target, mirrors, meets, out var at))
            {
                missed = at;
                var beside = Beside(moment, mirrors[at], meets[at]);
                nearest = beside < nearest.Beside ? (beside, mirrors[at], meets[at]) : nearest;
                continue;
            }

            var off = Enumerable.Range(0, mirrors.Length).Sum(k => Vector3.Distance(meets[k], Middle(moment, mirrors[k])));
            found.Add((off, mirrors, MirrorAim.ImageOfTarget(moment, from, target, mirrors)));
        }

        why = tried == 0
            ? $"no mirror's name begins with {string.Join(" or ", via)}{string.Concat(via.Select(v => _rig.WhereGone(v, begins: true)).Distinct())}"
            : $"the way misses the outline of every mirror named {via[missed]}, or would meet its back"
                + (nearest.Mirror.IsNone ? "" : string.Create(CultureInfo.InvariantCulture,
                    $"; nearest is {Texts.Mirror(moment, nearest.Mirror)}, {nearest.Beside:0.00} m beside its edge at {Texts.Point(nearest.At)}"));
        return [.. found.OrderBy(f => f.Off)];
    }

    /// <summary>What the levels as they stand make of it: share that arrives, illuminance, what is in the way.</summary>
    private AimSolution Measure(Fixture fixture, Vector3 target, MirrorIndex[] mirrors, PanTiltSolution s)
    {
        var (stage, moment) = Now(fixture);
        var answer = new AimSolution(s.PanDegrees, s.TiltDegrees, [.. mirrors.Select(m => Texts.Mirror(moment, m))], Channels(stage, fixture));
        var index = BeamIndex.None;
        for (var i = 0; i < moment.Beams.Length && index.IsNone; i++)
        {
            var b = moment.Beams.Span[i];
            if (b.Fixture == fixture.Index && moment.MirrorsOf(b).SequenceEqual(mirrors))
            {
                index = new BeamIndex(i);
            }
        }

        if (index.IsNone)
        {
            return answer with { Trouble = mirrors.Length == 0 ? "it gives no light at full" : $"next to nothing of the beam passes {answer.Mirrors[^1]}" };
        }

        var beam = moment[index];
        var scene = OcclusionScene.From(moment);
        var corners = new Vector3[mirrors.Length + 2];
        corners[^1] = target;
        if (mirrors.Length > 0 && !MirrorAim.TryPath(moment, PanTilt.Beam(fixture, s.PanDegrees, s.TiltDegrees)!.Value.Position, target, mirrors,
            corners.AsSpan(1, mirrors.Length), out var missed))
        {
            return answer with { Trouble = $"the way misses the outline of {answer.Mirrors[missed]}" };
        }

        corners[0] = PanTilt.Beam(fixture, s.PanDegrees, s.TiltDegrees)!.Value.Position;
        for (var k = 0; k + 1 < corners.Length; k++)
        {
            var length = Vector3.Distance(corners[k], corners[k + 1]);
            var last = k + 2 == corners.Length;
            var direction = (corners[k + 1] - corners[k]) / length;
            var start = corners[k] + (direction * 0.05f);
            if (scene.Closest(start, direction, length - 0.05f - (last ? AtTarget : 0.02f), fixture.Index,
                k > 0 ? mirrors[k - 1] : MirrorIndex.None, out var hit)
                && !(k < mirrors.Length && hit.Mirror == mirrors[k]))
            {
                return answer with
                {
                    Trouble = string.Create(CultureInfo.InvariantCulture,
                        $"{Texts.Surface(moment, _rig, hit.Instance, hit.Mirror)} is in the way at {Texts.Point(hit.Point)}"),
                };
            }
        }

        var root = beam;
        while (!root.Parent.IsNone)
        {
            root = moment[root.Parent];
        }

        var to = Vector3.Normalize(target - beam.Apex);
        var meter = new LightMeter(moment, null);
        return answer with
        {
            Arriving = BeamFlux.Passing(moment, beam) / Math.Max(1e-9, BeamFlux.Passing(moment, root)),
            Lux = meter.FromBeam(index, target, -to),
            MissMetres = Miss(beam, target),
            Path = corners,
        };
    }

    private static List<AimChannel> Channels(StageModel stage, Fixture fixture) =>
        [.. stage.StateOf(fixture.Index, TimeSpan.Zero).Attributes.Where(a => a.Op is AttributeOp.Pan or AttributeOp.Tilt && a.Addresses.Count > 0)
            .Select(a => new AimChannel(a.Attribute, string.Join('/', a.Addresses), a.Raw, a.Highest) { Channel = a.Channel })];

    private static float Miss(in Beam beam, Vector3 target) =>
        Vector3.Cross(target - beam.Apex, beam.Axis).Length();

    /// <summary>The stage with the levels as they stand, one fixture alone put to full.</summary>
    private (StageModel Stage, Moment Moment) Now(Fixture? alone = null)
    {
        var stage = new StageModel(_rig);
        if (alone is null)
        {
            _levels.SendTo(stage, TimeSpan.Zero);
            return (stage, stage.MomentAt(TimeSpan.Zero, default, 0));
        }

        var levels = new LevelsEncoder(_rig);
        foreach (var fixture in _rig.Fixtures)
        {
            foreach (var channel in fixture.Mode.Channels.Where(
                c => c.Offsets.Count > 0 && (fixture == alone || fixture.Mode.Geometry.Any(g => g.Mirror is not null))))
            {
                levels.SetRaw(fixture, channel, _levels.RawOf(fixture, channel));
            }
        }

        FullShow.PutToFull(levels, alone, out _);
        levels.SendTo(stage, TimeSpan.Zero);
        return (stage, stage.MomentAt(TimeSpan.Zero, default, 4));
    }

    private static (float Pan, float Tilt) StandsAt(StageModel stage, Fixture fixture)
    {
        var attributes = stage.StateOf(fixture.Index, TimeSpan.Zero).Attributes;
        return (attributes.FirstOrDefault(a => a.Op == AttributeOp.Pan)?.Now ?? 0, attributes.FirstOrDefault(a => a.Op == AttributeOp.Tilt)?.Now ?? 0);
    }

    private MirrorIndex[] Named(string name) =>
        [.. Enumerable.Range(0, _rest.Mirrors.Length).Select(m => new MirrorIndex(m))
            .Where(m => Texts.Mirror(_rest, m).StartsWith(name, StringComparison.OrdinalIgnoreCase))];

    private static Vector3 Middle(Moment moment, MirrorIndex mirror)
    {
        var outline = moment.OutlineOf(moment[mirror].Outline);
        var sum = Vector3.Zero;
        foreach (var p in outline)
        {
            sum += p / outline.Length;
        }

        return sum;
    }

    /// <summary>How far a point in a mirror's plane lies from its outline, m; NaN for no point.</summary>
    private static float Beside(Moment moment, MirrorIndex mirror, Vector3 at)
    {
        var outline = moment.OutlineOf(moment[mirror].Outline);
        var least = float.NaN;
        for (var k = 0; k < outline.Length; k++)
        {
            var (a, b) = (outline[k], outline[(k + 1) % outline.Length]);
            var along = Math.Clamp(Vector3.Dot(at - a, b - a) / (b - a).LengthSquared(), 0, 1);
            least = float.MinNumber(least, Vector3.Distance(at, Vector3.Lerp(a, b, along)));
        }

        return least;
    }
}
