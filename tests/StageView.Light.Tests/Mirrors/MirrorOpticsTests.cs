using StageView.Light.Mirrors;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Mirrors;

public sealed class MirrorOpticsTests
{
    // Normal incidence: ((n-1)/(n+1))² (Hecht, Optics, Fresnel equations).
    [Fact]
    public void Normal_reflectance_of_acrylic() => Rooms.Near(0.03873, MirrorOptics.FresnelReflectance(1, 1.49), 2e-4);

    // Brewster's angle: the p part vanishes, so the mean is half of the s part, ((1-n²)/(1+n²))²/2 (Hecht, Optics, "Brewster").
    [Fact]
    public void At_Brewsters_angle_half_of_the_s_part_is_left()
    {
        const double n = 1.5;
        var expected = Math.Pow((1 - (n * n)) / (1 + (n * n)), 2) / 2;
        Rooms.Near(expected, MirrorOptics.FresnelReflectance(Math.Cos(Math.Atan(n)), n), 1e-9);
    }

    [Fact]
    public void At_grazing_incidence_all_comes_back() => Rooms.Near(1, MirrorOptics.FresnelReflectance(0, 1.49), 1e-9);

    [Theory]
    [InlineData(0.88, 0.813, 0.881)]
    [InlineData(0.90, 0.832, 0.900)]
    [InlineData(0.92, 0.850, 0.920)]
    public void Shares_of_a_rear_silvered_acrylic_sheet(double metal, double main, double all)
    {
        var mirror = new Mirror { Reflectance = (float)metal, SheetThickness = 0.003f, SheetIndex = 1.49f };
        var shares = MirrorOptics.Shares(mirror, 1);
        Assert.Equal(main, shares.Main, 6e-4);
        Assert.Equal(all, shares.Total, 6e-4);
    }

    // Snell's law gives the lateral shift 2·t·tan θt of the ray (Hecht, Optics, ch. 4); as a depth, by hand at 0, 45 and 75°.
    [Theory]
    [InlineData(0, 2.013)]
    [InlineData(45, 1.617)]
    [InlineData(75, 0.684)]
    public void Effective_depth_of_three_millimetres(double degrees, double millimetres) =>
        Assert.Equal(millimetres, 1000 * MirrorOptics.EffectiveDepth(0.003, 1.49, Math.Cos(degrees * Math.PI / 180)), 6e-4);
}
