using System.Numerics;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

public sealed class WhitePointTests
{
    // Planckian by Kang et al. 2002; D50, D55, D65, D75 by CIE 015 (4 decimals there; the correlated temperatures carry the factor 1.4388/1.4380).
    [Theory]
    [InlineData(2700, 0.45931, 0.41066, 1e-4)]
    [InlineData(3200, 0.42318, 0.39908, 1e-4)]
    [InlineData(5003, 0.3457, 0.3585, 2e-4)]
    [InlineData(5503, 0.3324, 0.3474, 2e-4)]
    [InlineData(6504, 0.3127, 0.3290, 2e-4)]
    [InlineData(7504, 0.2990, 0.3149, 2e-4)]
    public void Chromaticities_of_reference_whites(double kelvin, double x, double y, double within)
    {
        var c = WhitePoint.Chromaticity(kelvin);
        Assert.Equal(x, c.X, within);
        Assert.Equal(y, c.Y, within);
    }

    [Fact]
    public void Bradford_between_two_whites_is_the_published_matrix()
    {
        // D65 to D50, XYZ: B. Lindbloom, "Chromatic adaptation", table of Bradford matrices.
        var m = WhitePoint.BetweenWhites((0.31272661468101209, 0.32902313032606195), (0.34566916, 0.35849618));
        double[] published = [1.0478112, 0.0228866, -0.0501270, 0.0295424, 0.9904844, -0.0170491, -0.0092345, 0.0150436, 0.7521316];
        double[] found = [m.A, m.B, m.C, m.D, m.E, m.F, m.G, m.H, m.I];
        for (var i = 0; i < 9; i++)
        {
            Assert.Equal(published[i], found[i], 2e-4);
        }
    }

    [Fact]
    public void The_stated_white_comes_out_neutral_and_d65_changes_nothing()
    {
        var rows = WhitePoint.Adaptation(3200);
        var (x, y) = WhitePoint.Chromaticity(3200);
        var rgb = WhitePoint.XyzFromRgb.Inverse().Times((x / y, 1, (1 - x - y) / y));
        var c = new Vector3((float)rgb.X, (float)rgb.Y, (float)rgb.Z);
        Assert.True(c.X > 1.5f * c.Z, "3200 K is no warm white to begin with");
        var seen = new Vector3(Vector3.Dot(rows.Row0, c), Vector3.Dot(rows.Row1, c), Vector3.Dot(rows.Row2, c));
        Assert.True(MathF.Abs(seen.X - seen.Y) < 0.005f && MathF.Abs(seen.Z - seen.Y) < 0.005f, seen.ToString());
        Assert.Equal((Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ), WhitePoint.Adaptation(6504));
    }

    [Theory]
    [InlineData(3200)]
    [InlineData(5400)]
    [InlineData(9300)]
    public void What_is_neutral_is_shown_with_the_chromaticity_of_the_projectors_white(float projector)
    {
        // Light of the sensor's temperature, far over the exposure and far below it: the projector's white, nothing brighter than its full channels.
        var tone = new ToneCurve(7, 3200, projector);
        var (x, y) = WhitePoint.Chromaticity(3200);
        var light = WhitePoint.XyzFromRgb.Inverse().Times((x / y, 1, (1 - x - y) / y));
        var white = WhitePoint.Chromaticity(projector);
        foreach (var luminance in (float[])[1, 30, 1e6f])
        {
            var shown = tone.Apply(luminance * new Vector3((float)light.X, (float)light.Y, (float)light.Z));
            var (cx, cy, cz) = WhitePoint.XyzFromRgb.Times((shown.X, shown.Y, shown.Z));
            Assert.Equal(white.X, cx / (cx + cy + cz), 2e-3);
            Assert.Equal(white.Y, cy / (cx + cy + cz), 2e-3);
            Assert.True(MathF.Max(shown.X, MathF.Max(shown.Y, shown.Z)) <= 1);
        }

        // Its primaries are what they were.
        var (red, plain) = (tone.Apply(new Vector3(10, -1, -2)), new ToneCurve(7, 3200).Apply(new Vector3(10, -1, -2)));
        Assert.Equal(plain.X * tone.Gains.X, red.X, 1e-6f);
        Assert.Equal(Vector3.One, new ToneCurve(7).Gains);
    }

    [Fact]
    public void Rec709_luminance_row()
    {
        // ITU-R BT.709-6: .2126 .7152 .0722.
        Assert.Equal(0.2126, WhitePoint.XyzFromRgb.D, 1e-4);
        Assert.Equal(0.7152, WhitePoint.XyzFromRgb.E, 1e-4);
        Assert.Equal(0.0722, WhitePoint.XyzFromRgb.F, 1e-4);
    }
}
