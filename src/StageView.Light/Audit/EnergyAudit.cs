using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Audit;

/// <summary>
/// Adds up where flux goes. The stated lumens stand on one side; on the other is what <see cref="LightMeter"/> measures where beams land
/// (illuminance × r² over directions), so a wrong profile, clip, reflectance or shadow shows as a gap. Lenses count as points: their size moves no lumen
/// from one place of a spot to another far away.
/// </summary>
public static class EnergyAudit
{
    private const int Turns = 128;
    private const int Rings = 64;

    /// <summary>
    /// A balance for each fixture that gives light, by index. A laser's flux is that of its lines, lm; each leg is followed by a ray of the audit's own.
    /// </summary>
    public static IReadOnlyList<FluxBalance> Of(Moment moment, OcclusionScene scene)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(scene);
        var meter = new LightMeter(moment, scene, MeterSettings.Default with { LensSize = false });
        var beams = moment.Beams;
        var children = new HashSet<(BeamIndex Parent, MirrorIndex Mirror)>();
        for (var i = 0; i < beams.Length; i++)
        {
            var b = beams.Span[i];
            if (b.Bounces > 0)
            {
                children.Add((b.Parent, moment.LastMirrorOf(b)));
            }
        }

        var (surfaces, lasers) = (moment.PixelSurfaces.Length, moment.Lasers.Length);
        var parts = new FluxBalance[beams.Length + surfaces + lasers];
        Parallel.For(0, parts.Length, i => parts[i] = i < beams.Length ? OfBeam(meter, scene, new BeamIndex(i), children)
            : i < beams.Length + surfaces ? OfSurface(moment, scene, i - beams.Length)
            : LaserAudit.OfLeg(meter, scene, i - beams.Length - surfaces));
        return [.. parts.GroupBy(p => p.Fixture).OrderBy(g => g.Key).Select(g => g.Aggregate((a, b) => a.Plus(b)))];
    }

    private static FluxBalance OfBeam(LightMeter meter, OcclusionScene scene, BeamIndex index, HashSet<(BeamIndex Parent, MirrorIndex Mirror)> children)
    {
        var moment = meter.Moment;
        var beam = moment[index];
        var own = moment.LastMirrorOf(beam);
        double landed = 0, mirrors = 0, haze = 0, escaped = 0, beyond = 0;
        foreach (var (direction, weight) in BeamFlux.Directions(moment, beam, Turns, Rings))
        {
            var candela = BeamPhotometry.Luminance(BeamPhotometry.CandelaRgb(moment, beam, direction));
            if (candela <= 0)
            {
                continue;
            }

            var start = beam.Bounces == 0 ? BeamPhotometry.StartAlong(beam, direction) : OnFace(moment, beam, own, direction);
            var origin = beam.Apex + (direction * start);
            if (beam.Bounces > 0 && !UnfoldedPath.Clear(moment, scene, beam, origin + (direction * 1e-3f)))
            {
                continue;
            }

            var leaving = candela * weight * meter.HazeOver(MathF.Max(0, start - beam.StartDistance));
            if (!scene.Closest(origin, direction, Landings.FarLimit, beam.Fixture, own, out var hit))
            {
                escaped += leaving;
                continue;
            }

            var there = hit.Point;
            var distance = Vector3.Distance(there, beam.Apex);
            var arriving = BeamPhotometry.Luminance(meter.Facing(index, there, hit.Normal, out _)) * distance * distance * weight;
            haze += leaving - (candela * weight * meter.HazeOver(MathF.Max(0, distance - beam.StartDistance)));
            if (hit.Mirror.IsNone)
            {
                landed += arriving;
                continue;
            }

            var mirror = moment[hit.Mirror];
            var cos = -Vector3.Dot(direction, mirror.Normal);
            if (cos <= 0)
            {
                mirrors += arriving;
                continue;
            }

            var share = MirrorOptics.Shares(mirror, cos).Total;
            mirrors += arriving * (1 - share);
            beyond += children.Contains((index, hit.Mirror)) ? 0 : arriving * share;
        }

        var direct = beam.Bounces == 0;
        return new FluxBalance
        {
            Fixture = beam.Fixture,
            Out = direct ? beam.FluxLumens : 0,
            Gobos = direct && (beam.Gobo.Image > 0 || beam.Blades.Count > 0) ? beam.FluxLumens - BeamFlux.Passing(moment, beam) : 0,
            LandedDirect = direct ? landed : 0,
            LandedReflected = direct ? 0 : landed,
            Mirrors = mirrors,
            Haze = haze,
            Escaped = escaped,
            NotFollowed = beyond,
        };
    }

    private static float OnFace(Moment moment, in Beam beam, MirrorIndex mirror, Vector3 direction)
    {
        var n = moment[mirror].Normal;
        return Vector3.Dot(moment.OutlineOf(beam.Clip)[0] - beam.Apex, n) / Vector3.Dot(direction, n);
    }

    /// <summary>π·L·A lumens leave a Lambertian surface; rays are spread evenly by area and cosine.</summary>
    private static FluxBalance OfSurface(Moment moment, OcclusionScene scene, int index)
    {
        var s = moment.PixelSurfaces.Span[index];
        if (LightMeter.IsLampInside(moment, s))
        {
            return new FluxBalance { Fixture = s.Fixture };
        }

        var globe = s.Shape == PixelShape.Globe;
        var radius = s.EdgeU.Length() / 2;
        var area = globe ? 4 * Math.PI * radius * radius : Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
        double mean = 0;
        for (var i = 0; i < s.Columns * s.Rows; i++)
        {
            mean += BeamPhotometry.Luminance(moment.Pixels.Span[s.FirstPixel + i]) / (s.Columns * s.Rows);
        }

        var flux = Math.PI * mean * area;
        double landed = 0, haze = 0, mirrors = 0, escaped = 0, beyond = 0;
        const int rays = 4096;
        for (var i = 0; i < rays && flux > 0; i++)
        {
            // Roberts' additive recurrence in four dimensions spreads place and direction evenly.
            var (a, b, c, d) = (Part(i, 0.8566748838545029), Part(i, 0.7338918566271260), Part(i, 0.6287067210378087), Part(i, 0.5385972572236101));
            var normal = globe ? OnSphere(a, b) : s.FrontNormal;
            var from = globe ? s.Origin + (normal * radius) : s.Origin + (s.EdgeU * a) + (s.EdgeV * b);
            var (u, v) = Across(normal);
            var (sin, cos) = Trig.SinCos(c * MathF.Tau);
            var direction = (normal * MathF.Sqrt(1 - d)) + (((u * cos) + (v * sin)) * MathF.Sqrt(d));
            var part = flux / rays;
            if (!scene.Closest(from + (normal * LightMeter.Lift), direction, Landings.FarLimit, s.Fixture, out var hit))
            {
                escaped += part;
                continue;
            }

            var left = part * Math.Exp(-moment.Haze.ExtinctionPerMetre * hit.Distance);
            haze += part - left;
            if (hit.Mirror.IsNone)
            {
                landed += left;
                continue;
            }

            var mirror = moment[hit.Mirror];
            var incidence = -Vector3.Dot(direction, mirror.Normal);
            var share = incidence > 0 ? MirrorOptics.Shares(mirror, incidence).Total : 0;
            mirrors += left * (1 - share);
            beyond += left * share;
        }

        return new FluxBalance
        {
            Fixture = s.Fixture, Out = flux, LandedDirect = landed, Haze = haze, Mirrors = mirrors, Escaped = escaped, NotFollowed = beyond,
        };
    }

    private static float Part(int i, double step) => (float)((0.5 + ((i + 1) * step)) % 1);

    private static Vector3 OnSphere(float a, float b)
    {
        var z = (2 * a) - 1;
        var r = MathF.Sqrt(MathF.Max(0, 1 - (z * z)));
        var (sin, cos) = Trig.SinCos(b * MathF.Tau);
        return new Vector3(r * cos, r * sin, z);
    }

    private static (Vector3 U, Vector3 V) Across(Vector3 n)
    {
        var u = Vector3.Normalize(Vector3.Cross(n, MathF.Abs(n.Z) < 0.9f ? Vector3.UnitZ : Vector3.UnitX));
        return (u, Vector3.Cross(n, u));
    }
}
