using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Unfolding;

namespace StageView.Light.Aim;

/// <summary>The geometry of hitting a point by way of mirrors.</summary>
public static class MirrorAim
{
    /// <summary>
    /// The point to aim straight at so that light from <paramref name="source"/> reaches <paramref name="target"/> over the mirrors named, first met
    /// first: the target mirrored in each plane, last met first. A sheet's setting back of the image depends on the incidence, so
    /// that is repeated until it stands still.
    /// </summary>
    /// <param name="moment">Holds the mirrors.</param>
    /// <param name="source">Where the light comes from, m.</param>
    /// <param name="target">Where it shall land, m.</param>
    /// <param name="mirrors">Which of <see cref="Moment.Mirrors"/>, first met first.</param>
    public static Vector3 ImageOfTarget(Moment moment, Vector3 source, Vector3 target, ReadOnlySpan<MirrorIndex> mirrors)
    {
        ArgumentNullException.ThrowIfNull(moment);
        Span<float> cosines = stackalloc float[mirrors.Length];
        cosines.Fill(1);
        Span<Vector3> images = stackalloc Vector3[mirrors.Length + 1];
        for (var round = 0; round < 8; round++)
        {
            images[^1] = target;
            for (var k = mirrors.Length - 1; k >= 0; k--)
            {
                var mirror = moment[mirrors[k]];
                var depth = (float)MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, cosines[k]);
                images[k] = Reflect(images[k + 1], moment.OutlineOf(mirror.Outline)[0] - (mirror.Normal * depth), mirror.Normal);
            }

            var from = source;
            for (var k = 0; k < mirrors.Length; k++)
            {
                var mirror = moment[mirrors[k]];
                var direction = Vector3.Normalize(images[k] - from);
                cosines[k] = MathF.Abs(Vector3.Dot(direction, mirror.Normal));
                var depth = (float)MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, cosines[k]);
                from = UnfoldedPath.Crossing(from, images[k], moment.OutlineOf(mirror.Outline)[0] - (mirror.Normal * depth), mirror.Normal);
            }
        }

        return images[0];
    }

    /// <summary>The points where the way from source to target meets the mirrors; false when it misses one's outline or would come from behind it.</summary>
    public static bool TryPath(Moment moment, Vector3 source, Vector3 target, ReadOnlySpan<MirrorIndex> mirrors, Span<Vector3> meets, out int missed)
    {
        ArgumentNullException.ThrowIfNull(moment);
        missed = -1;
        var from = source;
        for (var k = 0; k < mirrors.Length; k++)
        {
            var mirror = moment[mirrors[k]];
            var outline = moment.OutlineOf(mirror.Outline);
            var image = ImageOfTarget(moment, from, target, mirrors[k..]);
            if (Vector3.Dot(from - outline[0], mirror.Normal) <= 0 || Vector3.Dot(image - outline[0], mirror.Normal) >= 0)
            {
                missed = k;
                return false;
            }

            var at = UnfoldedPath.Crossing(from, image, outline[0], mirror.Normal);
            meets[k] = at;
            if (!ConvexClip.Inside(outline, mirror.Normal, at))
            {
                missed = k;
                return false;
            }

            from = at;
        }

        return true;
    }

    /// <summary>
    /// The normal that a turning mirror at <paramref name="pivot"/> needs to send light from the source to the target: the bisector of the two directions.
    /// </summary>
    public static Vector3 BisectingNormal(Vector3 source, Vector3 pivot, Vector3 target) =>
        Vector3.Normalize(Vector3.Normalize(source - pivot) + Vector3.Normalize(target - pivot));

    /// <summary>A point mirrored in a plane.</summary>
    public static Vector3 Reflect(Vector3 point, Vector3 onPlane, Vector3 normal) =>
        point - (normal * (2 * Vector3.Dot(point - onPlane, normal)));
}
