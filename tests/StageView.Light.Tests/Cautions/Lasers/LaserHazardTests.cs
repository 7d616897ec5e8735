using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Cautions.Lasers;

public sealed class LaserHazardTests
{
    // IEC 60825-1:2014, table A.1, 5 µs to 10 s: 18·t^.75 J/m², so 18·.35355 = 6.364 J/m² and 25.46 W/m² for .25 s (by hand). ANSI Z136.1, table 5 as the
    // list of the Illinois
    // Institute of Technology's health physics office quotes it (June 2000): 6.36·10⁻⁴ J/cm².
    [Fact]
    public void The_limit_of_a_quarter_second()
    {
        Rooms.Near(6.36e-4, LaserHazard.VisibleLimit(0.25) * 0.25 / 1e4, 1e-3);
        Rooms.Near(25.46, LaserHazard.VisibleLimit(0.25), 1e-3);
    }

    // ICNIRP 2013, table 5: from 10 s on the limit is 10 W/m², where the short one must end: 18·10^.75/10 = 10.1.
    [Fact]
    public void The_short_limit_meets_the_long_one_at_ten_seconds() => Rooms.Near(10, LaserHazard.VisibleLimit(10), 0.02);

    // (√(4P/π·MPE) - a)/φ, by hand: √(4/(π·25.456)) = .22365 m over 1 mrad; a handbook's page on hazard distances (online.flipbuilder.com/rbhw/egvu, page
    // 110) has 225 m for
    // 1 W and 1 mrad. 10 W, 4 mm, 1 mrad: .70724 - .004 m.
    [Fact]
    public void Hazard_distances_of_beams_that_stand_still()
    {
        var limit = LaserHazard.VisibleLimit(0.25);
        Rooms.Near(223.65, LaserHazard.NominalHazardDistance(1, 0, 1e-3, limit), 1e-4);
        Rooms.Near(225, LaserHazard.NominalHazardDistance(1, 0, 1e-3, limit), 0.01);
        Rooms.Near(703.2, LaserHazard.NominalHazardDistance(10, 0.004, 1e-3, limit), 1e-3);
    }

    // A flat mirror of 90 % leaves .9 W: √(3.6/(π·25.456)) = .21217 m over 1 mrad, 212.2 m of which 50 lie before the mirror.
    [Fact]
    public void After_a_mirror_the_rest_of_the_hazard_distance_goes_on()
    {
        var leg = new LaserBeam { PowerWatts = 0.9f, DivergenceRadians = 1e-3f, PathBefore = 50, Length = 200, Direction = Vector3.UnitX };
        var limit = LaserHazard.VisibleLimit(0.25);
        Rooms.Near(162.2, LaserHazard.HazardAlong(leg, limit), 1e-3);
        Assert.Equal(100, LaserHazard.HazardAlong(leg with { Length = 100 }, limit));
        Assert.Equal(0, LaserHazard.HazardAlong(leg with { PathBefore = 300 }, limit));
    }

    // Lambert: E = ρ P cos θ/(π r²). 5 W on a wall of .8: √(4/(π·25.456)) = .2237 m; looked at by 60°, 1/√2 of it.
    [Fact]
    public void After_a_matt_wall()
    {
        var limit = LaserHazard.VisibleLimit(0.25);
        Rooms.Near(0.2237, LaserHazard.DiffuseHazardDistance(5, 0.8, 1, limit), 1e-3);
        Rooms.Near(0.2237 / Math.Sqrt(2), LaserHazard.DiffuseHazardDistance(5, 0.8, 0.5, limit), 1e-3);
        Rooms.Near(limit, 0.8 * 5 / (Math.PI * Math.Pow(LaserHazard.DiffuseHazardDistance(5, 0.8, 1, limit), 2)), 1e-9);
    }

    [Fact]
    public void The_least_height_over_a_volume_is_counted_from_its_floor()
    {
        var stalls = new WatchedVolume("stalls", false, Pose.At(0, -8, 1.5f), new Vector3(10, 6, 2));
        // From z = 6 at y = 2 down by 1 in 4: over the stalls from y = -5 (z = 4.25) to y = -11 (z = 2.75); the floor lies at .5.
        var leg = new LaserBeam { Origin = new Vector3(0, 2, 6), Direction = Vector3.Normalize(new Vector3(0, -4, -1)), Length = 100 };
        Assert.True(LaserHazard.HeightOver(leg, stalls, out var metres));
        Rooms.Near(2.25, metres, 1e-4);
        Assert.False(LaserHazard.HeightOver(leg with { Direction = Vector3.UnitY }, stalls, out _));
    }

    [Fact]
    public void At_the_hazard_distance_the_irradiance_is_the_limit()
    {
        var d = LaserHazard.NominalHazardDistance(3, 0.004, 1.2e-3, 25.46);
        Rooms.Near(25.46, LaserHazard.Irradiance(3, 0.004, 1.2e-3, d), 1e-6);
        Assert.Equal(0, LaserHazard.NominalHazardDistance(0.001, 0.1, 1e-3, 25));
        Assert.True(double.IsPositiveInfinity(LaserHazard.NominalHazardDistance(1, 0.001, 0, 25)));
    }
}

public sealed class CautionCheckTests
{
    private static readonly WatchedVolume Stalls = new("stalls", false, Pose.At(0, -8, 1), new Vector3(10, 6, 2));

    private static List<Caution> Find(Moment m) =>
        [.. CautionCheck.Check(Rooms.Meter(m), [Stalls]).Found.Where(c => c.Kind != CautionKind.Total)];

    [Fact]
    public void A_bounce_into_the_house_is_found_with_its_illuminance_and_path()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4), 20000, 6, 9) with { Fixture = new FixtureIndex(7) });
        // Sends the beam back out and down: aimed by the bisector at (0, -8, 1).
        var n = MirrorAim.BisectingNormal(new Vector3(0, 0, 4), new Vector3(0, 5, 4), new Vector3(0, -8, 1));
        b.AddMirror(new Vector3(0, 5, 4), n, Vector3.Normalize(Vector3.Cross(n, Vector3.UnitX)) * -1, 2, 2);
        var m = b.Build(TimeSpan.Zero);
        var found = Find(m);
        var f = Assert.Single(found);
        Assert.Equal((new FixtureIndex(7), 1, CautionKind.Beam), (f.Fixture, f.Bounces, f.Kind));
        // Strongest where the beam enters the box; by hand at most peak·R/(path)² at the nearest face, y = -5: path over 15 m.
        Assert.InRange(f.Lux, 0.9 * m.Beams.Span[1].PeakCandela / (18.4 * 18.4), m.Beams.Span[1].PeakCandela / (15.0 * 15.0));
    }

    [Fact]
    public void Dim_beams_and_those_that_pass_by_are_not_listed()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, -8, 1), 10, 6, 9));
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 8, 1), 20000, 6, 9));
        Assert.Empty(Find(b.Build(TimeSpan.Zero)));
    }

    // A beam 20 cm wide whose axis passes 6 cm above the volume's top: half of it grazes the house between the points that are tried.
    [Fact]
    public void A_thin_beam_whose_edge_grazes_the_top_is_found()
    {
        var b = Rooms.Builder();
        // The tried points stand at x = 0.2 and 0.6; 10 m away from the lens 0.6° to the half beam angle is 10 cm.
        b.Add(Rooms.Spot(new Vector3(0.4f, 5, 2.06f), new Vector3(0.4f, -20, 2.06f), 3000, 1.2f, 1.4f));
        var f = Assert.Single(Find(b.Build(TimeSpan.Zero)));
        Assert.True(f.Point.Z <= 2.0001f && f.Lux > 500, $"{f.Point} {f.Lux}");
    }

    // Its axis passes 17 cm over the top; its rim dips in 14 m on, a few centimetres deep and wide, between points .4 m apart and between any eight rays
    // about the axis.
    [Fact]
    public void A_pencil_of_light_whose_rim_dips_into_a_corner_of_space_is_found()
    {
        var b = Rooms.Builder();
        var (sin, cos) = MathF.SinCos(MathF.PI / 8);
        b.Add(Rooms.Spot(new Vector3(0.4f, 5, 2.17f), new Vector3(0.4f, -20, 2.17f), 300, 1.2f, 1.4f) with { Up = new Vector3(sin, 0, cos) });
        var f = Assert.Single(Find(b.Build(TimeSpan.Zero)));
        Assert.True(f.Lux > 500 && f.Point.Y < -8.8f, $"{f.Point} {f.Lux}");
    }

    [Fact]
    public void A_laser_through_the_house_and_one_close_above_it()
    {
        var b = Rooms.Builder();
        var laser = new LaserBeam
        {
            Fixture = new FixtureIndex(3), PowerWatts = 2, FluxLumens = 300, ApertureMetres = 0.005f, DivergenceRadians = 1e-3f, Colour = Vector3.One,
        };
        b.Add(laser with { Origin = new Vector3(0, 2, 1.5f), Direction = -Vector3.UnitY });
        b.Add(laser with { Origin = new Vector3(0, 2, 4), Direction = -Vector3.UnitY, Fixture = new FixtureIndex(4) });
        b.Add(laser with { Origin = new Vector3(0, 2, 9), Direction = -Vector3.UnitY, Fixture = new FixtureIndex(5) });
        var found = Find(b.Build(TimeSpan.Zero));
        Assert.Equal(2, found.Count);
        Assert.Equal(CautionKind.Laser, found[0].Kind);
        // It enters at y = -5, 7 m on: E = 4·2/(π·(.005 + .007)²).
        Rooms.Near(7, found[0].PathMetres, 1e-4);
        Rooms.Near(8 / (Math.PI * 0.012 * 0.012), found[0].Irradiance, 1e-3);
        Assert.Equal((CautionKind.LaserNear, new FixtureIndex(4)), (found[1].Kind, found[1].Fixture));
    }
}
