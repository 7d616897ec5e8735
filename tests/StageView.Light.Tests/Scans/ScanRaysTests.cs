using System.Numerics;
using StageView.Light.Scans;

namespace StageView.Light.Tests.Scans;

public sealed class ScanRaysTests
{
    // Nine rays, ten lit samples on each of fifteen: each has 10/135 of the time.
    [Fact]
    public void A_fan_is_its_rays_with_the_share_of_time_of_each()
    {
        var rays = LaserScan.Fan(0.8f, 9, 10, 5, 30_000).Rays;
        Assert.Equal(9, rays.Count);
        Assert.All(rays, r => Rooms.Near(10.0 / 135, r.Share, 1e-5));
        Assert.All(rays, r => Assert.Equal(0, r.Radius, 1e-6));
        Assert.Equal([-0.4f, -0.3f, 0, 0.4f], new[] { 0, 1, 4, 8 }.Select(i => rays[i].Direction.X), (a, b) => MathF.Abs(a - b) < 1e-5f);
    }

    [Theory]
    [InlineData(16)]
    [InlineData(400)]
    [InlineData(9000)]
    public void A_circle_of_any_number_of_points_is_lit_all_round_by_few_rays(int points)
    {
        var rays = LaserScan.Circle(0.5f, points, 30_000).Rays;
        Assert.InRange(rays.Count, 16, 128);
        Rooms.Near(1, rays.Sum(r => r.Share), 1e-4);
        // Every ray lies on the figure, and with their radii they leave no gap.
        var inside = 0.25f * MathF.Cos(MathF.PI / points);
        Assert.All(rays, r => Assert.InRange(r.Direction.Length(), inside - 1e-5f, 0.25f + 1e-5f));
        for (var a = 0; a < 1000; a++)
        {
            var (sin, cos) = MathF.SinCos(a * MathF.Tau / 1000);
            Assert.Contains(rays, r => Vector2.Distance(r.Direction, new Vector2(cos, sin) * 0.25f) <= r.Radius + 0.005f);
        }
    }

    // Five hundred single points in the dark are more than there are rays: pairs share one, and a ray still lies on a lit point.
    [Fact]
    public void No_figure_becomes_more_rays_than_the_bound()
    {
        var scan = LaserScan.Fan(1, 500, 3, 2, 100_000);
        Assert.InRange(scan.Rays.Count, 60, 128);
        Rooms.Near(0.6, scan.Rays.Sum(r => r.Share), 1e-4);
        Assert.All(scan.Rays, r => Assert.Contains(scan.Points, p => p.Share > 0 && Vector2.Distance(p.Direction, r.Direction) < 1e-5f));
        Assert.All(scan.Rays, r => Assert.InRange(r.Radius, 1e-3f, 0.02f));
    }

    [Fact]
    public void A_dark_figure_has_no_rays() => Assert.Empty(new LaserScan("dark", 1000, [new ScanPoint(0, 0, 0), new ScanPoint(0.1f, 0, 0)]).Rays);
}
