using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage.Heads;

namespace StageView.Show.Refocus;

/// <summary>One way to reach an anchor.</summary>
/// <param name="Pan">Degrees.</param>
/// <param name="Tilt">Degrees.</param>
/// <param name="Aimed">What is aimed straight at: the anchor, or its image behind the mirrors, m.</param>
/// <param name="Mirrors">Met on the way, in the new moment.</param>
internal sealed record Candidate(float Pan, float Tilt, Vector3 Aimed, MirrorIndex[] Mirrors);

/// <summary>Solves heads of the new venue at one moment.</summary>
/// <param name="rig">The new venue's rig.</param>
/// <param name="moment">A moment of it: mirrors stand as the levels have them.</param>
internal sealed class HeadSolver(RigScene rig, Moment moment)
{
    /// <summary>Something met this close before the anchor counts as the anchor itself, m.</summary>
    private const float AtTarget = .4f;

    private const float Far = 200;

    /// <summary>Step of shifts that could cure something, m.</summary>
    private const float ShiftStep = .05f;

    /// <summary>What lands nowhere is shown so far, m.</summary>
    private const float Farther = 50;
    private readonly OcclusionScene _scene = OcclusionScene.From(moment);

    /// <summary>Every pan and tilt that puts the axis on a point, or why there is none.</summary>
    public IReadOnlyList<Candidate> Solve(Fixture fixture, Pose root, Vector3 target, IReadOnlyList<string> via, out string why)
    {
        why = "";
        if (via.Count == 0)
        {
            var direct = PanTilt.Aim(fixture, target, root);
            why = direct.Count == 0 ? "it lies outside the limits of pan and tilt" : "";
            return [.. direct.Select(s => new Candidate(s.PanDegrees, s.TiltDegrees, target, []))];
        }

        var mirrors = MirrorsOf(via);
        if (mirrors.IndexOf(MirrorIndex.None) is >= 0 and var gone)
        {
            why = $"{via[gone]} is not there";
            return [];
        }

        var found = Over(fixture, root, target, mirrors, via, out why);
        if (found.Count > 0 || via.Count > 1)
        {
            return found;
        }

        // Another panel of the same wall may do what this one did.
        foreach (var other in Siblings(via[0]))
        {
            found = Over(fixture, root, target, [other], via, out _);
            if (found.Count > 0)
            {
                why = $"by way of {Texts.Mirror(moment, other)} instead of {via[0]}";
                return found;
            }
        }

        return [];
    }

    private List<Candidate> Over(Fixture fixture, Pose root, Vector3 target, MirrorIndex[] mirrors, IReadOnlyList<string> via, out string why)
    {
        why = "";
        var lens = PanTilt.Beam(fixture, 0, 0, root)!.Value.Position;
        var found = new List<Candidate>();
        foreach (var s in PanTilt.Aim(fixture, MirrorAim.ImageOfTarget(moment, lens, target, mirrors), root))
        {
            // The lens swings about the axes: the image is worked out anew from where it then is.
            var from = PanTilt.Beam(fixture, s.PanDegrees, s.TiltDegrees, root)!.Value.Position;
            var image = MirrorAim.ImageOfTarget(moment, from, target, mirrors);
            var near = PanTilt.Aim(fixture, image, root).OrderBy(n => Math.Abs(n.PanDegrees - s.PanDegrees) + Math.Abs(n.TiltDegrees - s.TiltDegrees))
                .Cast<PanTiltSolution?>().FirstOrDefault();
            if (near is not { } n)
            {
                continue;
            }

            if (MirrorAim.TryPath(moment, from, target, mirrors, new Vector3[mirrors.Length], out var missed))
            {
                found.Add(new Candidate(n.PanDegrees, n.TiltDegrees, image, mirrors));
            }
            else
            {
                why = $"the way misses the outline of {via[missed]}";
            }
        }

        why = found.Count > 0 ? "" : why.Length > 0 ? why : "the image behind the mirrors lies outside the limits of pan and tilt";
        return found;
    }

    /// <summary>The other panels of a mirror wall: names that differ in their last word.</summary>
    private IEnumerable<MirrorIndex> Siblings(string name)
    {
        var wall = name.LastIndexOf(' ') is > 0 and var at ? name[..(at + 1)] : null;
        return wall is null ? [] : Enumerable.Range(0, moment.Mirrors.Length).Select(i => new MirrorIndex(i))
            .Where(m => Texts.Mirror(moment, m) is { } n && n != name && n.StartsWith(wall, StringComparison.Ordinal) && !n[wall.Length..].Contains(' '));
    }

    /// <summary>The mirrors of those names; none in the place of one that isn't there.</summary>
    public MirrorIndex[] MirrorsOf(IReadOnlyList<string> via) => [.. via.Select(Mirror)];

    /// <summary>A mirror's outline at this moment, world; null where it isn't there.</summary>
    public Vector3[]? OutlineOf(string mirror) => Mirror(mirror) is { IsNone: false } m ? moment.OutlineOf(moment[m].Outline).ToArray() : null;

    /// <summary>What stands between a head and its anchor; empty where nothing does.</summary>
    /// <param name="own">The anchor's own piece, which is no obstacle; or empty.</param>
    public string InTheWay(Fixture fixture, Pose root, Candidate way, Vector3 target, string own)
    {
        foreach (var (from, to, mirror, last) in Legs(fixture, root, way, target))
        {
            var length = Vector3.Distance(from, to);
            var direction = (to - from) / length;
            if (!_scene.Closest(from + (direction * .05f), direction, length - .05f - (last ? AtTarget : .02f), fixture.Index, mirror, out var hit))
            {
                continue;
            }

            var name = Texts.Surface(moment, rig, hit.Instance, hit.Mirror);
            if (name.Length > 0 && (!last || name != own) && (last || hit.Mirror != way.Mirrors.ElementAtOrDefault(0)))
            {
                return $"{name} is in the way at {Texts.Point(hit.Point)}";
            }
        }

        return "";
    }

    /// <summary>The lens, where the axis turns on each mirror, and where it lands, m; where it lands nowhere, a point far along.</summary>
    public IReadOnlyList<Vector3> Axis(Fixture fixture, Pose root, Candidate way, Vector3 target)
    {
        var legs = Legs(fixture, root, way, target).ToList();
        var (from, to, mirror, _) = legs[^1];
        var direction = Vector3.Normalize(to - from);
        var length = _scene.Closest(from + (direction * .05f), direction, Far, fixture.Index, mirror, out var hit) ? hit.Distance + .05f : Farther;
        return [.. legs.Select(l => l.From), from + (direction * length)];
    }

    /// <summary>The volume of the audience that the last part of the axis enters before it meets something; null where none.</summary>
    public CautionVolume? Audience(Fixture fixture, Pose root, Candidate way, Vector3 target)
    {
        var (from, to, mirror, _) = Legs(fixture, root, way, target).Last();
        var direction = Vector3.Normalize(to - from);
        var length = _scene.Closest(from + (direction * .05f), direction, Far, fixture.Index, mirror, out var hit) ? hit.Distance + .05f : Far;
        return rig.Volumes.FirstOrDefault(v => v.Kind == CautionVolumeKind.Audience && v.Meets(from, direction, length, out _));
    }

    /// <summary>Parts of a cone that don't simply reach its anchor, as shares.</summary>
    public Dictionary<(string What, ConeEffect Effect), double> Shares(Fixture fixture, in Cone cone, string own, bool isFree) =>
        new ConeTrace(rig, moment, _scene).Of(fixture.Index, cone, own, isFree);

    /// <summary>Where the axis comes nearest to a point within the limits, and the least shift of the hang, in steps of 5 cm, that would reach it.</summary>
    public string Cure(Fixture fixture, Pose root, Vector3 target, IReadOnlyList<string> via)
    {
        var said = via.Count == 0 ? Nearest(fixture, root, target) + "; " : "";
        var tried = 0;
        foreach (var steps in (int[])[5, 10, 20, 30, 40, 60])
        {
            var (best, words) = (int.MaxValue, "");
            foreach (var (along, name) in ((Vector3, string)[])[(Vector3.UnitZ, "higher"), (-Vector3.UnitZ, "lower"), (Vector3.UnitY, "upstage"),
                (-Vector3.UnitY, "downstage"), (Vector3.UnitX, "to the audience's right"), (-Vector3.UnitX, "to the audience's left")])
            {
                if (Reaches(along, steps) && Least(along, tried, steps) is var least && least < best)
                {
                    (best, words) = (least, name);
                }
            }

            if (words.Length > 0)
            {
                return string.Create(CultureInfo.InvariantCulture, $"{said}hung {best * ShiftStep:0.##} m {words} it reaches it");
            }

            tried = steps;
        }

        return $"{said}no shift of up to 3 m along one axis cures it";

        bool Reaches(Vector3 along, int steps) =>
            Solve(fixture, root with { Position = root.Position + (along * steps * ShiftStep) }, target, via, out _).Count > 0;

        int Least(Vector3 along, int not, int does)
        {
            while (does - not > 1)
            {
                var middle = (not + does) / 2;
                (not, does) = Reaches(along, middle) ? (not, middle) : (middle, does);
            }

            return does;
        }
    }

    private static string Nearest(Fixture fixture, Pose root, Vector3 target)
    {
        if (PanTilt.Nearest(fixture, target, root) is not { } s || PanTilt.Beam(fixture, s.PanDegrees, s.TiltDegrees, root) is not { } beam)
        {
            return "it has no travel";
        }

        var at = beam.Position + (beam.Direction * Math.Max(0, Vector3.Dot(target - beam.Position, beam.Direction)));
        return string.Create(CultureInfo.InvariantCulture, $"its axis comes nearest at {Texts.Point(at)}, {Vector3.Distance(at, target):0.00} m beside it");
    }

    private IEnumerable<(Vector3 From, Vector3 To, MirrorIndex Mirror, bool Last)> Legs(Fixture fixture, Pose root, Candidate way, Vector3 target)
    {
        var lens = PanTilt.Beam(fixture, way.Pan, way.Tilt, root)!.Value.Position;
        var meets = new Vector3[way.Mirrors.Length];
        if (meets.Length > 0)
        {
            MirrorAim.TryPath(moment, lens, target, way.Mirrors, meets, out _);
        }

        var corners = (Vector3[])[lens, .. meets, target];
        for (var k = 0; k + 1 < corners.Length; k++)
        {
            yield return (corners[k], corners[k + 1], k > 0 ? way.Mirrors[k - 1] : MirrorIndex.None, k + 2 == corners.Length);
        }
    }

    private MirrorIndex Mirror(string name)
    {
        for (var i = 0; i < moment.Mirrors.Length; i++)
        {
            if (Texts.Mirror(moment, new MirrorIndex(i)) == name)
            {
                return new MirrorIndex(i);
            }
        }

        return MirrorIndex.None;
    }
}
