using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Measure;

public sealed class LandingsTests
{
    // Law of reflection (Hecht, Optics, ch. 4: incidence equals reflection, in one plane), worked by hand with the image
    // point: source S = (0, 0, 4); mirror in the plane y = 6 facing -y; image S' = (0, 12, 4). A beam aimed at (0, 6, 3)
    // goes on along (0, -6, -1) from there and meets the floor after falling another 3 m: y = 6 - 18 = -12.
    [Fact]
    public void A_bounce_lands_where_the_law_of_reflection_puts_it()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 6, 3), beamDegrees: 4, fieldDegrees: 6));
        b.AddMirror(new Vector3(0, 6, 3), -Vector3.UnitY, Vector3.UnitZ, 2, 2);
        b.Add(Rooms.Plate(Vector3.Zero, 30));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(2, m.Beams.Length);
        Assert.True(Vector3.Distance(new Vector3(0, 12, 4), m.Beams.Span[1].Apex) < 1e-4f);
        Assert.True(Landings.TryFind(Rooms.Meter(m), OcclusionScene.From(m), new BeamIndex(1), out var landing));
        Assert.True(Vector3.Distance(new Vector3(0, -12, 0), landing.Point) < 1e-3f, landing.Point.ToString());
        // Throw: √(6² + 1²) to the mirror, three times that after it.
        Rooms.Near(4 * Math.Sqrt(37), landing.ThrowMetres, 1e-5);
        Rooms.Near(Math.Acos(1 / Math.Sqrt(37)), landing.IncidenceRadians, 1e-4);
        Rooms.Near(0.9 * m.Beams.Span[0].PeakCandela / (16 * 37) / Math.Sqrt(37), landing.CentreLux, 1e-3);
        Assert.True(landing.OnAxis);
    }

    // Two mirrors at a right angle send a ray back parallel to itself (corner reflector; Hecht, Optics, ch. 5).
    [Fact]
    public void Two_mirrors_at_a_right_angle_send_the_beam_back_parallel()
    {
        var b = Rooms.Builder();
        var axis = Vector3.Normalize(new Vector3(0.6f, 1, 0));
        b.Add(Rooms.Spot(new Vector3(0, 0, 2), new Vector3(0, 0, 2) + axis, beamDegrees: 2, fieldDegrees: 3));
        b.AddMirror(new Vector3(3, 5, 2), -Vector3.UnitY, Vector3.UnitZ, 8, 4);
        b.AddMirror(new Vector3(5, 3, 2), -Vector3.UnitX, Vector3.UnitZ, 8, 4);
        var m = b.Build(TimeSpan.Zero, 2);
        Beam? twice = null;
        foreach (var beam in m.Beams.Span)
        {
            if (beam.Bounces == 2 && Landings.LeadingRay(m, beam, out var on) == beam.Axis && on)
            {
                twice = beam;
            }
        }

        Assert.NotNull(twice);
        Assert.True(Vector3.Distance(-axis, twice.Value.Axis) < 1e-6f);
        Assert.False(twice.Value.Mirrored);
        Assert.Equal(new[] { new MirrorIndex(0), new MirrorIndex(1) }, m.MirrorsOf(twice.Value).ToArray());
    }

    // Snell: a 3 mm sheet of n = 1.49 seen at 45° displaces the beam as a mirror 1.617 mm below the front face would.
    [Fact]
    public void A_second_surface_mirror_sets_the_landing_back()
    {
        var b = Rooms.Builder();
        var n = Vector3.Normalize(new Vector3(0, -1, -1));
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4), beamDegrees: 2, fieldDegrees: 3));
        b.AddMirror(new Vector3(0, 5, 4), n, Vector3.Normalize(new Vector3(0, -1, 1)), 3, 3, 0.9f, 0.003f, 1.49f);
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var m = b.Build(TimeSpan.Zero);
        Assert.True(Landings.TryFind(Rooms.Meter(m), OcclusionScene.From(m), new BeamIndex(1), out var landing));
        // The plane lies 1.617 mm deeper along the normal, which the horizontal ray meets 1.617·√2 mm later.
        Assert.Equal(5 + (0.001617 * Math.Sqrt(2)), landing.Point.Y, 4e-5);
    }
}
