using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;

namespace StageView.Light.Seen;

/// <summary>
/// Lasers in a look, told by what they send to the eye, spread over a Gaussian at least as wide as a picture element. Twin: <c>shaders/laser.frag</c>.
/// </summary>
internal sealed class LaserGlow(Moment moment)
{
    /// <summary>Standard deviation of a picture element's own blur, in its width.</summary>
    private const float Blur = .6f;

    public void AddLines(in Leg leg, LightMeter meter, ShareSums sums)
    {
        var haze = moment.Haze;
        foreach (ref readonly var laser in moment.Lasers.Span)
        {
            var w = leg.From - laser.Origin;
            var b = Vector3.Dot(leg.Direction, laser.Direction);
            var sine2 = MathF.Max(1 - (b * b), 1e-7f);
            var along = (Vector3.Dot(laser.Direction, w) - (b * Vector3.Dot(leg.Direction, w))) / sine2;
            var p = laser.Origin + (laser.Direction * along);
            var t = Vector3.Dot(p - leg.From, leg.Direction);
            if (along < 0 || along > laser.Length || t <= .02f || t > leg.Length)
            {
                continue;
            }

            var seen = leg.Before + t;
            var s2 = Spread(laser, laser.PathBefore + along, seen, leg.Wide);
            var apart = Vector3.DistanceSquared(leg.At(t), p) / (seen * seen);
            var line = haze.ScatteringPerMetre * (float)ReferenceRadiance.Phase(haze.Anisotropy, -b) * meter.HazeOver(laser.PathBefore + along + seen)
                / (seen * MathF.Sqrt(MathF.Max(sine2, s2)));
            sums.Add(laser.Fixture, laser.Colour * (laser.FluxLumens * leg.Left * line * MathF.Exp(-.5f * apart / s2) / MathF.Sqrt(MathF.Tau * s2)));
        }
    }

    /// <param name="leg">The look.</param>
    /// <param name="hit">What it ends on.</param>
    /// <param name="weight">Luminance seen for 1 lx there, cd/m².</param>
    /// <param name="meter">Of the haze.</param>
    /// <param name="sums">Added to.</param>
    public void AddSpots(in Leg leg, in SceneHit hit, Vector3 weight, LightMeter meter, ShareSums sums)
    {
        foreach (ref readonly var laser in moment.Lasers.Span)
        {
            var end = laser.Origin + (laser.Direction * laser.Length);
            var seen = leg.Before + leg.Length;
            if (MathF.Abs(Vector3.Dot(end - hit.Point, hit.Normal)) > .1f + (.01f * seen))
            {
                continue;
            }

            var s2 = Spread(laser, laser.PathBefore + laser.Length, seen, leg.Wide);
            var apart = (Vector3.Cross(end - leg.Eye, leg.Direction) / seen).LengthSquared();
            var facing = MathF.Max(0, -Vector3.Dot(hit.Normal, leg.Direction));
            var lux = laser.Colour * (laser.FluxLumens * facing * meter.HazeOver(laser.PathBefore + laser.Length) / (seen * seen));
            sums.Add(laser.Fixture, lux * weight * (MathF.Exp(-.5f * apart / s2) / (MathF.Tau * s2)));
        }
    }

    private static float Spread(in LaserBeam laser, float way, float seen, float wide)
    {
        var s = .25f * (laser.ApertureMetres + (laser.DivergenceRadians * way)) / seen;
        return (s * s) + (Blur * Blur * wide * wide);
    }
}
