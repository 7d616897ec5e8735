using System.Numerics;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Scans;

namespace StageView.Light.Tests.Cautions.Lasers;

/// <summary>Worked by hand from IEC 60825-1:2014, table A.1 (limits) and 4.3 f with A.3 (repeated pulses); each value within 1 %.</summary>
public sealed class ScanExposureTests
{
    // Table A.1: 2·10⁻³ J/m² below 5 µs; 18·(10⁻³)^.75 = .1012 J/m² for a millisecond. Class 2 is 1 mW and Class 1 .39 mW through the 7 mm pupil (tables 3
    // and 5): the limits for
    // .25 s and 10 s times 3.848·10⁻⁵ m².
    [Fact]
    public void Limits_of_single_exposures()
    {
        Rooms.Near(2e-3, VisibleExposure.RadiantExposure(1e-6), 1e-9);
        Rooms.Near(0.1012, VisibleExposure.RadiantExposure(1e-3), 1e-3);
        var pupil = Math.PI * Math.Pow(VisibleExposure.PupilMetres / 2, 2);
        Rooms.Near(1e-3, VisibleExposure.Irradiance(0.25) * pupil, 0.025);
        Rooms.Near(0.39e-3, VisibleExposure.Irradiance(10) * pupil, 0.01);
        Assert.Throws<ArgumentOutOfRangeException>(() => VisibleExposure.RadiantExposure(11));
    }

    // 4.3 f 3: up to Ti 1 for a time base of .25 s or 600 pulses, else 5·N^-.25, at least .4; longer pulses 1 up to 5 mrad, N^-.25 to 40 pulses and then .4
    // up to the largest angle
    // (200·√t mrad), N^-.25 to 625 pulses and then .2 beyond it, 1 above 100 mrad.
    [Theory]
    [InlineData(1e-6, 100_000, 0.25, 1.5, 1)]
    [InlineData(1e-6, 600, 10, 1.5, 1)]
    [InlineData(1e-6, 10_000, 10, 1.5, 0.5)]
    [InlineData(1e-6, 1_000_000, 10, 1.5, 0.4)]
    [InlineData(1e-3, 500, 10, 1.5, 1)]
    [InlineData(0.1, 16, 10, 20, 0.5)]
    [InlineData(0.1, 41, 10, 20, 0.4)]
    [InlineData(0.1, 256, 100, 80, 0.25)]
    [InlineData(0.1, 700, 100, 80, 0.2)]
    [InlineData(0.1, 700, 100, 120, 1)]
    [InlineData(0.1, 1, 10, 20, 1)]
    public void The_correction_for_repeated_pulses(double pulse, int pulses, double exposure, double mrad, double c5) =>
        Rooms.Near(c5, VisibleExposure.RepetitionFactor(pulse, pulses, exposure, mrad), 1e-9);

    // One pulse of 1 ms at 200 W/m²: .2 J/m² over .1012 J/m².
    [Fact]
    public void One_pulse()
    {
        var ratio = PulseTrain.Compare([new Pulse(0, 1e-3, 0.2)]);
        Rooms.Near(1.976, ratio.OnePulse, 0.01);
        Assert.Equal((ratio.OnePulse, 1), (ratio.Repeated, ratio.Pulses));
        Rooms.Near(ratio.OnePulse, ratio.Average, 1e-9);
    }

    // 2,000 pulses a second of 100 µs at .01 J/m² for .25 s: single .01/(18·10⁻³) = .5556 (10⁻⁴^.75 = 10⁻³); average 500·.01/6.364 = .7857.
    [Fact]
    public void A_train_whose_average_is_the_stricter()
    {
        var ratio = PulseTrain.Compare([.. Enumerable.Range(0, 800).Select(i => new Pulse(i * 0.5e-3, 1e-4, 0.01))]);
        Assert.Equal(500, ratio.Pulses);
        Rooms.Near(0.5556, ratio.OnePulse, 0.01);
        Rooms.Near(0.7857, ratio.Average, 0.01);
        Rooms.Near(0.7857, ratio.Worst, 0.01);
    }

    // Within Ti = 5 µs pulses add up: four of .4 mJ/m² 1 µs apart are one of 1.6 mJ/m² in 5 µs, limit 18·(5·10⁻⁶)^.75 = 1.904 mJ/m².
    [Fact]
    public void Pulses_within_five_microseconds_count_as_one()
    {
        var ratio = PulseTrain.Compare([.. Enumerable.Range(0, 4).Select(i => new Pulse(i * 1e-6, 1e-7, 0.4e-3))]);
        Assert.Equal(1, ratio.Pulses);
        Rooms.Near(1.6 / 1.904, ratio.OnePulse, 0.01);
    }

    // A burst in a long pause: over the whole .25 s ten pulses of 100 µs, one a millisecond, .005 J/m² each, are .05/6.364 = .0079 of the limit; alone each
    // is .005/(18·10⁻³) = .2778; over
    // the burst's own 9.1 ms they are .05/(18·(9.1·10⁻³)^.75) = .0943. The stretch of one pulse is the worst.
    [Fact]
    public void A_burst_is_averaged_over_its_own_stretches()
    {
        var ratio = PulseTrain.Compare([.. Enumerable.Range(0, 10).Select(i => new Pulse(i * 1e-3, 1e-4, 0.005))]);
        Rooms.Near(0.2778, ratio.Average, 0.01);
        // Packed to one every 110 µs, 1.09 ms: .05/(18·(1.09·10⁻³)^.75) = .4630.
        ratio = PulseTrain.Compare([.. Enumerable.Range(0, 10).Select(i => new Pulse(i * 1.1e-4, 1e-4, 0.005))]);
        Rooms.Near(0.4630, ratio.Average, 0.01);
        Rooms.Near(0.2778, ratio.OnePulse, 0.01);
    }

    // A scan of one point is a beam that stands still: the same hazard distance, (√(4/(π·25.456)) - .005)/10⁻³ = 218.65 m.
    [Fact]
    public void A_beam_that_stands_still()
    {
        var still = new LaserScan("still", 30_000, [new ScanPoint(0, 0, 1)]);
        var laser = new LaserSource(1, 0.005, 1e-3);
        Rooms.Near(218.65, ScanExposure.HazardDistance(still, laser), 0.002);
        var at = ScanExposure.At(still, laser, Vector2.Zero, 100);
        Assert.Equal(1, at.Duty, 1e-6);
        // 4/(π·.105²) = 115.5 W/m² over 25.46.
        Rooms.Near(115.5, at.Irradiance, 0.01);
        Rooms.Near(4.536, at.Ratio.Worst, 0.01);
        // Closer than the pupil is wide the power through it is all there is: 1 W over 3.848·10⁻⁵ m².
        Rooms.Near(25_984, laser.EffectiveIrradiance(1), 0.001);
    }

    // Nine rays, ten samples on each and five dark ones between, 30,000 a second: each ray is a pulse of 333 µs every 4.5 ms. 18·(3.333·10⁻⁴)^.75 = .04441
    // J/m² allows 133.2 W/m²:
    // √(4/(π·133.2)) = .09777 m, less 5 mm, over 1 mrad: 92.8 m. In .25 s 56 pulses: their average allows 341 W/m².
    [Fact]
    public void A_fan_of_rays()
    {
        var fan = LaserScan.Fan(0.8f, 9, 10, 5, 30_000);
        var laser = new LaserSource(1, 0.005, 1e-3);
        Rooms.Near(4.5e-3, fan.FrameSeconds, 1e-6);
        Rooms.Near(92.8, ScanExposure.HazardDistance(fan, laser), 0.01);
        var at = ScanExposure.At(fan, laser, new Vector2(0.4f, 0), 92.8);
        Rooms.Near(333e-6, at.DwellSeconds, 0.01);
        Rooms.Near(10.0 / 135, at.Duty, 0.01);
        Rooms.Near(1, at.Ratio.Worst, 0.01);
        Assert.Equal(56, at.Ratio.Pulses);
        // Between the rays nothing comes.
        Assert.Equal(default, ScanExposure.At(fan, laser, new Vector2(0.05f, 0), 50));
    }

    // A line swept at 100 rad/s: at r a beam of φ·r passes in φ/ω = 10 µs, whatever r. 4P/(π(φr)²)·φ/ω = 18·(φ/ω)^.75 gives r = √(4P/(18π)·φ^-1.75·ω^-.25)
    // = 63.07 m. Half a beam's width inside the
    // ends it passes there and back in one, 20 µs: r grows by 2^⅛ to 68.78 m.
    [Fact]
    public void A_scanned_line_and_its_ends()
    {
        var line = LaserScan.Line(0.4f, 201, 50_000);
        var laser = new LaserSource(1, 0, 1e-3);
        Rooms.Near(8e-3, line.FrameSeconds, 1e-6);
        Rooms.Near(63.07, ScanExposure.HazardDistance(line, laser, Vector2.Zero), 0.01);
        Rooms.Near(68.78, ScanExposure.HazardDistance(line, laser), 0.01);
        var at = ScanExposure.At(line, laser, Vector2.Zero, 63.07);
        Rooms.Near(10e-6, at.DwellSeconds, 0.01);
        Rooms.Near(250, at.PassesPerSecond, 0.001);
        Rooms.Near(2 * 10e-6 / 8e-3, at.Duty, 0.01);
        // One way lit: half the passes.
        Rooms.Near(125, ScanExposure.At(LaserScan.Line(0.4f, 201, 50_000, litBack: false), laser, Vector2.Zero, 63.07).PassesPerSecond, 0.001);
    }

    // A circle of .5 rad at 25 turns a second: ω = 25·π·.5 = 39.27 rad/s; at 20 m a beam of 5 mm + 20 mm passes in .025/(39.27·20) = 31.83 µs.
    [Fact]
    public void A_circle_passes_a_place_on_it_once_a_turn()
    {
        var circle = LaserScan.Circle(0.5f, 1000, 25_000);
        var at = ScanExposure.At(circle, new LaserSource(2, 0.005, 1e-3), new Vector2(0.25f, 0), 20);
        Rooms.Near(31.83e-6, at.DwellSeconds, 0.01);
        Rooms.Near(25, at.PassesPerSecond, 1e-6);
        Assert.Equal(default, ScanExposure.At(circle, new LaserSource(2, 0.005, 1e-3), Vector2.Zero, 20));
        // Dwell times of places all along it add up to the whole turn: each has the same.
        var other = ScanExposure.At(circle, new LaserSource(2, 0.005, 1e-3), new Vector2(0, -0.25f), 20);
        Rooms.Near(at.DwellSeconds, other.DwellSeconds, 1e-3);
    }

    [Fact]
    public void Bad_scans_are_refused()
    {
        Assert.Throws<ArgumentException>(() => new LaserScan("none", 1000, []));
        Assert.Throws<ArgumentException>(() => new LaserScan("slow", 0, [new ScanPoint(0, 0, 1)]));
        Assert.Throws<ArgumentException>(() => new LaserScan("wide", 1000, [new ScanPoint(float.NaN, 0, 1)]));
        Assert.Throws<ArgumentOutOfRangeException>(() => PulseTrain.Compare([], 100));
        Assert.Equal(default, PulseTrain.Compare([]));
    }
}
