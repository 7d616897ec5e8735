using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Interreflection;

/// <summary>Rays from matt surfaces to matt surfaces, over mirrors and through haze. Holds nothing of the moment's pooled memory.</summary>
/// <param name="scene">What stands where; it must not be set to another moment meanwhile.</param>
/// <param name="patches">The surfaces.</param>
/// <param name="mirrors">The scene's mirrors.</param>
/// <param name="extinctionPerMetre">Of the haze, 1/m; 0 in clear air.</param>
internal sealed class MattRays(OcclusionScene scene, PatchMap patches, Mirror[] mirrors, float extinctionPerMetre)
{
    /// <summary>Mirrors that a ray may meet.</summary>
    private const int MostMirrors = 4;

    public PatchMap Patches => patches;

    /// <summary>The patch that a ray ends on, <see cref="PatchMap.Inside"/>, or -1 where it leaves the room or a mirror's back takes it.</summary>
    /// <param name="origin">m, off the surface.</param>
    /// <param name="direction">Unit length.</param>
    /// <param name="except">Scenery of this fixture is passed by, or none.</param>
    /// <param name="way">What became of the light on the way.</param>
    public int Follow(Vector3 origin, Vector3 direction, FixtureIndex except, out RayWay way)
    {
        way = new RayWay { Share = 1 };
        var last = MirrorIndex.None;
        for (var met = 0; met <= MostMirrors; met++)
        {
            if (!scene.Closest(origin, direction, Landings.FarLimit, except, last, out var hit))
            {
                way.Escaped += way.Share;
                way.Share = 0;
                return -1;
            }

            var clear = extinctionPerMetre > 0 ? MathF.Exp(-extinctionPerMetre * hit.Distance) : 1;
            way.Haze += way.Share * (1 - clear);
            way.Share *= clear;
            if (hit.Mirror.IsNone)
            {
                way.OffMirrors = met > 0 ? way.Share : 0;
                return patches.Find(hit);
            }

            ref readonly var mirror = ref mirrors[hit.Mirror.Value];
            var cos = -Vector3.Dot(direction, mirror.Normal);
            var kept = cos > 0 && met < MostMirrors ? (float)MirrorOptics.Shares(mirror, cos).Total : 0;
            way.Mirrors += way.Share * (1 - kept);
            way.Share *= kept;
            if (kept <= 0)
            {
                return -1;
            }

            direction += mirror.Normal * (2 * cos);
            (origin, last, except) = (hit.Point, hit.Mirror, FixtureIndex.None);
        }

        return -1;
    }

    /// <summary>A direction about a normal, as often as its cosine says.</summary>
    /// <param name="normal">Unit.</param>
    /// <param name="a">0 to below 1.</param>
    /// <param name="b">0 to below 1.</param>
    public static Vector3 Cosine(Vector3 normal, float a, float b)
    {
        var u = Vector3.Normalize(Vector3.Cross(normal, MathF.Abs(normal.Z) < 0.9f ? Vector3.UnitZ : Vector3.UnitX));
        var (sin, cos) = Trig.SinCos(a * MathF.Tau);
        var r = MathF.Sqrt(b);
        return (normal * MathF.Sqrt(1 - b)) + (u * (cos * r)) + (Vector3.Cross(normal, u) * (sin * r));
    }

    /// <summary>A direction of all, as often as any other.</summary>
    /// <param name="a">0 to below 1.</param>
    /// <param name="b">0 to below 1.</param>
    public static Vector3 AllRound(float a, float b)
    {
        var z = (2 * b) - 1;
        var r = MathF.Sqrt(MathF.Max(0, 1 - (z * z)));
        var (sin, cos) = Trig.SinCos(a * MathF.Tau);
        return new Vector3(r * cos, r * sin, z);
    }
}

/// <summary>Where the light of a ray went, or of many, shares of what set out.</summary>
internal record struct RayWay
{
    /// <summary>Arrived at the end.</summary>
    public float Share;

    /// <summary>Left the room.</summary>
    public float Escaped;

    /// <summary>Taken by the haze.</summary>
    public float Haze;

    /// <summary>Taken by mirrors and their backs.</summary>
    public float Mirrors;

    /// <summary>Of what arrived, what came off mirrors.</summary>
    public float OffMirrors;

    /// <summary>With a part of another's added.</summary>
    public readonly RayWay Plus(in RayWay o, float part) => new()
    {
        Share = Share + (o.Share * part), Escaped = Escaped + (o.Escaped * part), Haze = Haze + (o.Haze * part), Mirrors = Mirrors + (o.Mirrors * part),
        OffMirrors = OffMirrors + (o.OffMirrors * part),
    };
}
