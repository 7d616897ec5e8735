using System.Numerics;
using System.Reflection;
using StageView.Ground.Indices;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Cautions;

public sealed class CautionReportTests
{
    private static readonly WatchedVolume Stalls = new("stalls", false, Pose.At(0, -8, 1), new Vector3(10, 6, 2));

    private static Moment Wall(float luminance)
    {
        var b = Rooms.Builder();
        var pixels = b.AddSurface(new PixelSurface
        {
            Fixture = new(4), Columns = 16, Rows = 9, Fill = 1, Origin = new Vector3(-4, -3, 5), EdgeU = new Vector3(8, 0, 0), EdgeV = new Vector3(0, 0, -4.5f),
        });
        pixels.Fill(new Vector3(luminance));
        return b.Build(TimeSpan.Zero);
    }

    // No beam and no laser in it: a wall of light alone, some 4,000 lx on the front row.
    [Fact]
    public void A_wall_of_pixels_over_the_audience_is_found()
    {
        var report = CautionCheck.Check(Rooms.Meter(Wall(1900)), [Stalls]);
        Assert.Equal([CautionKind.Surface, CautionKind.Total], report.Found.Select(f => f.Kind));
        Assert.All(report.Found, f => Assert.InRange(f.Lux, 3000, 5000));
        Assert.Equal(new FixtureIndex(4), report.Found[0].Fixture);
        Assert.Equal(FixtureIndex.None, report.Found[1].Fixture);
        Assert.Empty(CautionCheck.Check(Rooms.Meter(Wall(0)), [Stalls]).Found);
        Assert.Empty(CautionCheck.Check(Rooms.Meter(Wall(100)), [Stalls]).Found);
    }

    [Fact]
    public void Without_volumes_nothing_was_checked_and_the_report_says_why()
    {
        var report = CautionCheck.Check(Rooms.Meter(Wall(1900)), []);
        Assert.False(report.AnythingChecked);
        Assert.Empty(report.Found);
        Assert.Contains("no volumes", Assert.Single(report.NotChecked).Why, StringComparison.Ordinal);
    }

    [Fact]
    public void A_report_says_what_was_looked_at_with_which_limits_and_what_was_not()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 8, 1)));
        var report = CautionCheck.Check(new LightMeter(b.Build(TimeSpan.Zero), null, new MeterSettings(Reflected: false)), [Stalls],
            new CautionLimits { LeastLux = 123 });
        Assert.True(report.AnythingChecked);
        Assert.Equal(1, report.Checked[0].Count);
        Assert.Equal(123, report.Checked[0].Limits[0].Value);
        Assert.Contains(report.NotChecked, n => n.What == "beams off mirrors");
        Assert.Contains(report.NotChecked, n => n.What == "what stands in the way");
    }

    [Fact]
    public void Laser_rays_are_listed_higher_above_than_beside()
    {
        Moment Ray(Vector3 from, Vector3 to)
        {
            var b = Rooms.Builder();
            b.Add(new LaserBeam
            {
                PowerWatts = 1, FluxLumens = 100, ApertureMetres = 0.005f, DivergenceRadians = 1e-3f, Origin = from,
                Direction = Vector3.Normalize(to - from)
            });
            return b.Build(TimeSpan.Zero);
        }

        IReadOnlyList<Caution> Found(Moment m) => CautionCheck.Check(Rooms.Meter(m), [Stalls]).Found;
        Assert.Equal(CautionKind.LaserNear, Assert.Single(Found(Ray(new Vector3(0, 2, 4.9f), new Vector3(0, -20, 4.9f)))).Kind);
        Assert.Empty(Found(Ray(new Vector3(0, 2, 5.1f), new Vector3(0, -20, 5.1f))));
        Assert.Single(Found(Ray(new Vector3(7.4f, 2, 1), new Vector3(7.4f, -20, 1))));
        Assert.Empty(Found(Ray(new Vector3(7.6f, 2, 1), new Vector3(7.6f, -20, 1))));
    }

    [Fact]
    public void Every_limit_has_a_unit_a_meaning_and_a_source()
    {
        var all = CautionLimits.Default.All;
        Assert.Equal(all.Count, all.Select(l => l.Key).Distinct().Count());
        Assert.All(all, l => Assert.True(l.Meaning.Length > 5 && l.Source.Length > 5, l.Key));
        // None is kept back: as many as the record has settable values.
        Assert.Equal(typeof(CautionLimits).GetProperties(BindingFlags.Public | BindingFlags.Instance).Count(p => p.SetMethod is not null), all.Count);
        Assert.Null(CautionLimits.Default.Fault());
        Assert.Equal("the limit exposure takes 0.000005 to 10 s", new CautionLimits { ExposureSeconds = 20 }.Fault());
        Assert.Throws<ArgumentException>(() => CautionCheck.Check(Rooms.Meter(Wall(1)), [Stalls], new CautionLimits { LeastLux = double.NaN }));
    }
}
