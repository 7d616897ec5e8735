using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Measure;

/// <summary>Follows beams over mirrors to where they land.</summary>
public static class BounceReports
{
    /// <summary>A report for every beam of the moment.</summary>
    public static IReadOnlyList<BounceReport> Of(LightMeter meter, OcclusionScene scene)
    {
        ArgumentNullException.ThrowIfNull(meter);
        var reports = new BounceReport[meter.Moment.Beams.Length];
        var passing = new double[reports.Length];
        Parallel.For(0, reports.Length, i => passing[i] = BeamFlux.Passing(meter.Moment, meter.Moment.Beams.Span[i]));
        Parallel.For(0, reports.Length, i => reports[i] = One(meter, scene, new BeamIndex(i), passing));
        return reports;
    }

    private static BounceReport One(LightMeter meter, OcclusionScene scene, BeamIndex index, double[] passing)
    {
        var moment = meter.Moment;
        var beam = moment[index];
        var root = index;
        while (!moment[root].Parent.IsNone)
        {
            root = moment[root].Parent;
        }

        var landed = Landings.TryFind(meter, scene, index, out var landing);
        var (ghost, offset, cut) = (0.0, 0.0, 0.0);
        if (beam.Bounces > 0)
        {
            var mirror = moment[moment.LastMirrorOf(beam)];
            var cos = MathF.Abs(Vector3.Dot(Landings.LeadingRay(moment, beam, out _), mirror.Normal));
            ghost = MirrorOptics.Shares(mirror, cos).Ghost;
            offset = 2 * MirrorOptics.EffectiveDepth(mirror.SheetThickness, mirror.SheetIndex, cos) * Math.Sqrt(Math.Max(0, 1 - (cos * cos)));
            var reflectance = beam.Throughput / moment[beam.Parent].Throughput;
            var before = passing[beam.Parent.Value];
            cut = before > 0 ? Math.Clamp(1 - (passing[index.Value] / (before * reflectance)), 0, 1) : 0;
        }

        return new BounceReport
        {
            Beam = index,
            Fixture = beam.Fixture,
            Emitter = beam.Emitter,
            Mirrors = moment.MirrorsOf(beam).ToArray(),
            Path = Path(moment, beam, landed ? landing.Point : null),
            Landing = landed ? landing : null,
            Footprint = landed ? Footprints.Of(meter, landing) : null,
            Flux = passing[index.Value],
            Share = passing[root.Value] > 0 ? passing[index.Value] / passing[root.Value] : 0,
            CutOff = cut,
            GhostShare = ghost,
            GhostOffset = offset,
        };
    }

    /// <summary>The leading ray from the lens over every mirror to its end.</summary>
    private static Vector3[] Path(Moment moment, in Beam beam, Vector3? end)
    {
        var direction = Landings.LeadingRay(moment, beam, out _);
        var path = new Vector3[beam.Bounces + 2];
        path[^1] = end ?? beam.Apex + (direction * 30);
        var leg = beam;
        for (var k = beam.Bounces; k > 0; k--)
        {
            var mirror = moment[moment.LastMirrorOf(leg)];
            path[k] = UnfoldedPath.Crossing(path[k + 1], leg.Apex, moment.OutlineOf(leg.Clip)[0], mirror.Normal);
            leg = moment[leg.Parent];
        }

        var first = Vector3.Normalize(path[1] - leg.Apex);
        path[0] = leg.Apex + (first * BeamPhotometry.StartAlong(leg, first));
        return path;
    }
}
