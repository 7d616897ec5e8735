using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Cautions;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Cautions;

public sealed class LaserHazardTests
{
    // A published worked example for 651 nm by table 5 of ANSI Z136.1 (health physics list of IIT, June 2000): 1.8·t^.75·10⁻³ J/cm² at .25 s is
    // 6.36·10⁻⁴ J/cm² and, over .25 s, 2.5·10⁻³ W/cm²; texts on shows give 2.54 mW/cm², ICNIRP's 18·t^.75 J/m² is the same figure in metres.
    [Fact]
    public void The_limit_of_a_quarter_second()
    {
        Rooms.Near(6.36e-4, LaserHazard.VisibleLimit(0.25) * 0.25 / 1e4, 1e-3);
        Rooms.Near(2.54, LaserHazard.VisibleLimit(0.25) / 10, 3e-3);
    }

    // ICNIRP 2013, table 5: from 10 s on the limit is 10 W/m², where the short one must end: 18·10^.75/10 = 10.1.
    [Fact]
    public void The_short_limit_meets_the_long_one_at_ten_seconds() => Rooms.Near(10, LaserHazard.VisibleLimit(10), 0.02);

    // NOHD = (√(4P/π·MPE) - a)/φ: 1 W, 1 mrad, a = 0 gives 223.7 m (a published example with 25 W/m² rounds to 225 m).
    [Fact]
    public void The_hazard_distance_of_one_watt_at_one_milliradian()
    {
        Rooms.Near(223.7, LaserHazard.NominalHazardDistance(1, 0, 1e-3, LaserHazard.VisibleLimit(0.25)), 5e-4);
        Rooms.Near(225.7, LaserHazard.NominalHazardDistance(1, 0, 1e-3, 25), 5e-4);
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

    private static IReadOnlyList<Caution> Find(Moment m, CautionSettings? s = null) => CautionCheck.Find(Rooms.Meter(m), [Stalls], s ?? new CautionSettings());

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
