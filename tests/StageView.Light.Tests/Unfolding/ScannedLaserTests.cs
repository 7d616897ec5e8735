using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Scans;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Unfolding;

public sealed class ScannedLaserTests
{
    private static readonly LaserScan Fan = LaserScan.Fan(0.8f, 9, 10, 5, 30_000);

    private static LaserScanner Scanner(Vector3 at, Vector3 axis) => new()
    {
        Fixture = new FixtureIndex(0),
        Scan = 1,
        Origin = at,
        Axis = axis,
        Up = Vector3.UnitZ,
        PowerWatts = 1,
        FluxLumens = 683,
        Colour = Vector3.One,
        ApertureMetres = 0.005f,
        DivergenceRadians = 1e-3f,
    };

    private static MomentBuilder Builder()
    {
        var b = Rooms.Builder();
        b.Scans = [Fan];
        b.Begin();
        return b;
    }

    [Fact]
    public void Rays_share_the_power_by_time_and_lie_where_the_figure_does()
    {
        var b = Builder();
        b.Add(Scanner(new Vector3(0, 0, 5), Vector3.UnitY));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(9, m.Lasers.Length);
        Rooms.Near(90.0 / 135, m.Lasers.ToArray().Sum(l => l.PowerWatts), 1e-4);
        Rooms.Near(683 * 90.0 / 135, m.Lasers.ToArray().Sum(l => l.FluxLumens), 1e-4);
        Assert.All(m.Lasers.ToArray(), l => Assert.Equal((1f, 1, 1f), (l.PeakWatts, l.Scanner, l.LitWatts)));
        // Along +y with z up, right is +x: the ray at +.4 rad is (sin .4, cos .4, 0).
        var right = m.Lasers.Span[8];
        Assert.Equal(0.38942f, right.Direction.X, 1e-4f);
        Assert.Equal(0.92106f, right.Direction.Y, 1e-4f);
        Assert.Equal(0.1f, Scanner(Vector3.Zero, Vector3.UnitY).DirectionOf(new Vector2(0, 0.1f)).Z, 1e-3f);
    }

    [Fact]
    public void A_reflected_ray_knows_its_mirror_and_the_leg_before_and_loses_power()
    {
        var b = Builder();
        b.AddMirror(new Vector3(0, 10, 5), -Vector3.UnitY, Vector3.UnitZ, 1, 1, 0.8f);
        b.Add(Scanner(new Vector3(0, 0, 5), Vector3.UnitY));
        var m = b.Build(TimeSpan.Zero);
        var back = Assert.Single(m.Lasers.ToArray(), l => l.Bounces == 1);
        Assert.Equal((4, 0), (back.Parent, back.Mirror.Value));
        Rooms.Near(0.8, back.PeakWatts, 1e-4);
        Rooms.Near(0.8 * 10 / 135, back.PowerWatts, 1e-4);
        Assert.Equal(Vector2.Zero, back.ScanDirection);
    }

    // ScanExposureTests work the fan's hazard distance by hand: 92.8 m. At 20 m a ray is a pulse of 333 µs with 4/(π·.025²) = 2037 W/m²; 18·(3.333·10⁻⁴)^.75
    // = .04441 J/m² allows 133.2 W/m²: 15.3 times. As a beam that stands still it would be 2037/25.46 = 80 times, and 218.65 m.
    [Fact]
    public void A_caution_takes_a_scanned_ray_as_the_pulses_that_it_is()
    {
        var b = Builder();
        b.Add(Scanner(new Vector3(0, 0, 5), Vector3.UnitY));
        var m = b.Build(TimeSpan.Zero);
        var volume = new WatchedVolume("row", false, new Pose(new Vector3(0, 21, 5), Quaternion.Identity), new Vector3(2, 2, 2));
        var found = Assert.Single(CautionCheck.Check(Rooms.Meter(m), [volume]).Found, c => c.Kind == CautionKind.Laser);
        Assert.True(found.IsScanned);
        Rooms.Near(15.3, found.ExposureRatio, 0.01);
        Rooms.Near(92.8, found.HazardDistance, 0.01);
        Rooms.Near(2037, found.Irradiance, 0.01);
    }

    [Fact]
    public void A_beam_that_stands_still_stays_one()
    {
        var b = Builder();
        b.Add(new LaserBeam
        {
            Origin = new Vector3(0, 0, 5), Direction = Vector3.UnitY, PowerWatts = 1, FluxLumens = 683, ApertureMetres = 0.005f, DivergenceRadians = 1e-3f,
            Fixture = new FixtureIndex(0),
        });
        var volume = new WatchedVolume("row", false, new Pose(new Vector3(0, 21, 5), Quaternion.Identity), new Vector3(2, 2, 2));
        var found = Assert.Single(CautionCheck.Check(Rooms.Meter(b.Build(TimeSpan.Zero)), [volume]).Found, c => c.Kind == CautionKind.Laser);
        Assert.False(found.IsScanned);
        Rooms.Near(2037 / 25.456, found.ExposureRatio, 0.01);
        Rooms.Near(218.65, found.HazardDistance, 0.002);
    }

    // A dark ray stands for what lies between it and the next: a narrow volume between two rays of a swept line is met all the same.
    [Fact]
    public void What_lies_between_two_rays_of_a_stroke_is_not_missed()
    {
        var b = Rooms.Builder();
        b.Scans = [LaserScan.Line(1, 201, 50_000)];
        b.Begin();
        b.Add(Scanner(Vector3.Zero, Vector3.UnitY));
        var m = b.Build(TimeSpan.Zero);
        var limits = CautionLimits.Default with { LaserHeightMetres = 0, LaserSideMetres = 0 };
        for (var i = 0; i < 40; i++)
        {
            var (sin, cos) = MathF.SinCos(i * 0.01f);
            var thin = new WatchedVolume("thin", false, new Pose(new Vector3(sin, cos, 0) * 40, Quaternion.Identity), new Vector3(0.02f, 0.02f, 0.5f));
            var found = Assert.Single(CautionCheck.Check(Rooms.Meter(m), [thin], limits).Found, c => c.Kind == CautionKind.Laser);
            Assert.True(found.ExposureRatio > 0);
        }
    }

    [Fact]
    public void Moments_carry_scanners_and_figures_as_bytes()
    {
        var b = Builder();
        b.Add(Scanner(new Vector3(0, 0, 5), Vector3.UnitY));
        var m = b.Build(TimeSpan.Zero);
        byte[] buffer = [];
        var length = MomentBytes.Write(m, ref buffer);
        var read = MomentBytes.Read(buffer.AsSpan(0, length), MomentBytes.ReadTables(MomentBytes.WriteTables(m)));
        Assert.Equal(m.Scanners.ToArray(), read.Scanners.ToArray());
        Assert.Equal(m.Lasers.ToArray(), read.Lasers.ToArray());
        Assert.Equal(Fan.Points, read.Scans[0].Points);
        Rooms.Near(LaserExposure.Ratio(m, m.Lasers.Span[4], 20, CautionLimits.Default),
            LaserExposure.Ratio(read, read.Lasers.Span[4], 20, CautionLimits.Default), 1e-9);
    }
}
