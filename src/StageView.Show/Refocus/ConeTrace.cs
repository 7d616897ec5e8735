using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Questions;

namespace StageView.Show.Refocus;

/// <summary>A spot's cone on its way.</summary>
/// <param name="Lens">Where it leaves, m.</param>
/// <param name="Aimed">What its axis is aimed straight at: the anchor, or its image behind the mirrors, m.</param>
/// <param name="Mirrors">Met on the way, in order.</param>
/// <param name="HalfBeam">Half the beam angle, rad.</param>
/// <param name="Apex">How far behind the lens the beam's apex lies, m.</param>
internal readonly record struct Cone(Vector3 Lens, Vector3 Aimed, MirrorIndex[] Mirrors, float HalfBeam, float Apex);

/// <summary>
/// Follows 37 rays of a cone: its axis, and three rings about it, each at the middle of its share of the cone's section (1, 6, 12 and 18 parts of 37), so that
/// a ray stands for the same light where the cone is evenly bright.
/// </summary>
internal sealed class ConeTrace(RigScene rig, Moment moment, OcclusionScene scene)
{
    private const int Rays = 37;

    /// <summary>Something met this close before the anchor, along the ray, counts as the anchor itself, m.</summary>
    private const float AtTarget = .4f;

    private const float Far = 200;

    /// <summary>What is left out at the lens, m.</summary>
    private const float Skin = .05f;

    /// <summary>Parts of the cone by what becomes of them, as shares from 0 to 1; nothing for what simply reaches the anchor.</summary>
    /// <param name="fixture">Where it comes from.</param>
    /// <param name="cone">The cone.</param>
    /// <param name="own">The anchor's own piece, which shades nothing; or empty.</param>
    /// <param name="isFree">Whether it has no anchor but a direction: then nothing stands before it.</param>
    public Dictionary<(string What, ConeEffect Effect), double> Of(FixtureIndex fixture, in Cone cone, string own, bool isFree)
    {
        var found = new Dictionary<(string What, ConeEffect Effect), double>();
        var axis = Vector3.Normalize(cone.Aimed - cone.Lens);
        var across = Vector3.Cross(axis, MathF.Abs(axis.Z) > .99f ? Vector3.UnitX : Vector3.UnitZ);
        across = Vector3.Normalize(across);
        var up = Vector3.Cross(across, axis);
        var way = Vector3.Distance(cone.Lens, cone.Aimed);
        var tangent = Trig.Tan(MathF.Min(cone.HalfBeam, 1.5f));
        var landing = own;
        foreach (var (x, y) in Section())
        {
            var direction = axis + (((across * x) + (up * y)) * tangent);
            var longer = direction.Length();
            direction /= longer;
            var from = cone.Lens - (axis * cone.Apex) + (direction * longer * cone.Apex);
            var meets = Follow(fixture, cone, from, direction, way * longer, isFree, out var entered);
            if (x == 0 && y == 0)
            {
                // What the axis lands on shades nothing: a floor that the lower edge of a slanting cone meets first.
                landing = meets.Landing;
            }

            if (meets.Effect is { } effect && (effect != ConeEffect.Shaded || (meets.What != own && meets.What != landing && meets.What.Length > 0)))
            {
                Add((meets.What, effect));
            }

            foreach (var volume in entered ?? [])
            {
                Add((volume.Name, volume.Kind == CautionVolumeKind.Audience ? ConeEffect.Audience : ConeEffect.Crew));
            }
        }

        return found;

        void Add((string, ConeEffect) part) => found[part] = found.GetValueOrDefault(part) + (1.0 / Rays);
    }

    private static IEnumerable<(float X, float Y)> Section()
    {
        yield return (0, 0);
        var inner = 1;
        for (var ring = 1; ring <= 3; ring++)
        {
            var count = 6 * ring;
            var radius = MathF.Sqrt((inner + (count / 2f)) / Rays);
            inner += count;
            for (var i = 0; i < count; i++)
            {
                var (sin, cos) = Trig.SinCos(MathF.Tau * i / count);
                yield return (radius * cos, radius * sin);
            }
        }
    }

    private (ConeEffect? Effect, string What, string Landing) Follow(
        FixtureIndex fixture, in Cone cone, Vector3 from, Vector3 direction, float way, bool isFree, out HashSet<CautionVolume>? entered)
    {
        entered = null;
        var (met, mirror, effect, what) = (0, MirrorIndex.None, (ConeEffect?)null, "");
        for (var leg = 0; leg <= rig.Bounces + 1; leg++)
        {
            var hits = scene.Closest(from + (direction * Skin), direction, Far, fixture, mirror, out var hit);
            var length = hits ? hit.Distance + Skin : Far;
            foreach (var volume in rig.Volumes)
            {
                if (volume.Meets(from, direction, length, out _))
                {
                    (entered ??= []).Add(volume);
                }
            }

            var wanted = met < cone.Mirrors.Length ? cone.Mirrors[met] : MirrorIndex.None;
            var isWanted = hits && !wanted.IsNone && hit.Mirror == wanted;
            var until = !wanted.IsNone ? ToPlane(wanted, from, direction) : isFree ? 0 : way;
            var name = hits ? Texts.Surface(moment, rig, hit.Instance, hit.Mirror) : "";
            if (effect is null && !isWanted && length < until - AtTarget)
            {
                (effect, what) = (ConeEffect.Shaded, name);
            }
            else if (effect is null && !isWanted && !wanted.IsNone)
            {
                (effect, what) = (ConeEffect.PastMirror, Texts.Mirror(moment, wanted));
            }

            if (!hits || hit.Mirror.IsNone)
            {
                return (effect, what, effect is null ? name : "");
            }

            (met, way, mirror) = (met + 1, way - length, hit.Mirror);
            from = hit.Point;
            direction = Vector3.Reflect(direction, moment[hit.Mirror].Normal);
        }

        return (effect, what, "");
    }

    /// <summary>How far along a ray a mirror's plane lies, m.</summary>
    private float ToPlane(MirrorIndex mirror, Vector3 from, Vector3 direction)
    {
        var normal = moment[mirror].Normal;
        return Vector3.Dot(moment.OutlineOf(moment[mirror].Outline)[0] - from, normal) / Vector3.Dot(direction, normal);
    }
}
