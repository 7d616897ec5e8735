using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Measure;

public sealed class FootprintTests
{
    private static (Landing Landing, Footprint Print, Moment Moment) Of(MomentBuilder b, int beam)
    {
        var m = b.Build(TimeSpan.Zero);
        var meter = Rooms.Meter(m);
        Assert.True(Landings.TryFind(meter, OcclusionScene.From(m), new BeamIndex(beam), out var landing));
        return (landing, Footprints.Of(meter, landing), m);
    }

    // A 10° cone 10 m away is 2·10·tan 5° = 1.7498 m across; straight down its footprint is that circle.
    [Fact]
    public void A_ten_degree_spot_at_ten_metres()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 10), Vector3.Zero, beamDegrees: 10, fieldDegrees: 18));
        b.Add(Rooms.Plate(Vector3.Zero, 20));
        var (_, print, m) = Of(b, 0);
        Rooms.Near(1.7498, print.SpotAtBeamAngle, 1e-4);
        Rooms.Near(20 * Math.Tan(9 * Math.PI / 180), print.SpotAtFieldAngle, 1e-4);
        Rooms.Near(print.SpotAtFieldAngle, print.Length, 1e-3);
        Rooms.Near(print.SpotAtFieldAngle, print.Width, 2e-3);
        Rooms.Near(Math.PI * Math.Pow(print.SpotAtFieldAngle / 2, 2), print.Area, 2e-3);
        Rooms.Near(BeamFlux.Passing(m, m.Beams.Span[0], Angles.Radians(9)) / print.Area, print.MeanLux, 1e-4);
    }

    // An oblique section of a cone is an ellipse; along the slope it reaches h·tan(45° ± 9°) (plane trigonometry).
    [Fact]
    public void A_slanting_spot_makes_an_ellipse()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 5), new Vector3(5, 0, 0), beamDegrees: 10, fieldDegrees: 18));
        b.Add(Rooms.Plate(Vector3.Zero, 40));
        var (_, print, _) = Of(b, 0);
        var (far, near) = (5 * Math.Tan(54 * Math.PI / 180), 5 * Math.Tan(36 * Math.PI / 180));
        Rooms.Near(far - near, print.Length, 1e-3);
        Rooms.Near(far, print.Outline.Max(p => p.X), 1e-3);
    }

    // A mirror half as wide as the cone cuts the footprint to its own image: a 0.4 m square mirror 5 m away, floor 4 m on, straight
    // down: 0.4·9/5 = 0.72 m square to the fold, and its 0.4/√2 projected height to the same scale along it.
    [Fact]
    public void A_small_mirror_cuts_the_footprint_and_the_flux()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4), beamDegrees: 10, fieldDegrees: 18));
        var n = Vector3.Normalize(new Vector3(0, -1, -1));
        b.AddMirror(new Vector3(0, 5, 4), n, Vector3.Normalize(new Vector3(0, -1, 1)), 0.4f, 0.4f, 1);
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var (_, print, m) = Of(b, 1);
        var xs = print.Outline.Max(p => p.X) - print.Outline.Min(p => p.X);
        Assert.InRange(xs, 0.70, 0.75);
        var passing = BeamFlux.Passing(m, m.Beams.Span[1]);
        var solid = ConvexClip.SolidAngle(m.Beams.Span[1].Apex, m.OutlineOf(m.Beams.Span[1].Clip));
        // The beam is near its peak all over the mirror: the flux lies between 80 and 100 % of peak × solid angle.
        Assert.InRange(passing / (m.Beams.Span[1].PeakCandela * solid), 0.8, 1);
        Assert.True(passing < 0.35 * m.Beams.Span[1].FluxLumens);
    }

    // Flux through the whole cone is the stated flux; through one half of it, half: a mirror edge through the axis.
    [Fact]
    public void Flux_through_windows()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(Vector3.Zero, Vector3.UnitY, 1000));
        b.AddMirror(new Vector3(5, 5, 0), -Vector3.UnitY, Vector3.UnitZ, 10, 10, 1);
        var m = b.Build(TimeSpan.Zero);
        Rooms.Near(1000, BeamFlux.Passing(m, m.Beams.Span[0]), 1e-4);
        Rooms.Near(500, BeamFlux.Passing(m, m.Beams.Span[1]), 1e-4);
    }
}
