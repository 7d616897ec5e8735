using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Audit;

/// <summary>
/// Where the flux of one laser leg goes. What the leg says of itself (flux, length, the leg after it) is held against a ray and the mirror's own optics.
/// </summary>
internal static class LaserAudit
{
    /// <summary>A leg whose stated length differs from what the ray meets by more than this lands nothing, m.</summary>
    private const float SameLength = 0.01f;

    public static FluxBalance OfLeg(LightMeter meter, OcclusionScene scene, int index)
    {
        var moment = meter.Moment;
        var leg = moment.Lasers.Span[index];
        var before = leg.FluxLumens * (double)meter.HazeOver(leg.PathBefore);
        var after = leg.FluxLumens * (double)meter.HazeOver(leg.PathBefore + leg.Length);
        var balance = new FluxBalance { Fixture = leg.Fixture, Out = leg.Bounces == 0 ? leg.FluxLumens : 0, Haze = before - after };
        var first = leg.Origin + (leg.Direction * 1e-3f);
        if (!scene.Closest(first, leg.Direction, MomentBuilder.LaserFarLimit, leg.Fixture, out var hit))
        {
            return balance with { Escaped = after };
        }

        if (MathF.Abs(hit.Distance + 1e-3f - leg.Length) > SameLength)
        {
            return balance;
        }

        if (hit.Mirror.IsNone)
        {
            return leg.Bounces == 0 ? balance with { LandedDirect = after } : balance with { LandedReflected = after };
        }

        var mirror = moment[hit.Mirror];
        var cos = -Vector3.Dot(leg.Direction, mirror.Normal);
        var share = cos > 0 ? MirrorOptics.Shares(mirror, cos).Total : 0;
        return balance with { Mirrors = after * (1 - share), NotFollowed = share > 0 && !IsFollowed(moment, leg, hit.Point) ? after * share : 0 };
    }

    /// <summary>Whether a leg goes on from where this one met a mirror: one bounce more, from that place (a sheet sets it back by millimetres).</summary>
    private static bool IsFollowed(Moment moment, in LaserBeam leg, Vector3 at)
    {
        foreach (ref readonly var next in moment.Lasers.Span)
        {
            if (next.Fixture == leg.Fixture && next.Emitter == leg.Emitter && next.Bounces == leg.Bounces + 1 && Vector3.Distance(next.Origin, at) < 0.05f)
            {
                return true;
            }
        }

        return false;
    }
}
