using System.Numerics;
using StageView.Light.Colour;
using StageView.Stage.Colour;
using StageView.Stage.Optics;

namespace StageView.Stage.Tests.Colour;

public sealed class ColourTests
{
    /// <summary>Kang et al. 2002 (the locus as commonly tabled): 2700, 3200, 5600, 6500 K.</summary>
    [Theory]
    [InlineData(2700, .45931, .41066)]
    [InlineData(3200, .42318, .39908)]
    [InlineData(5600, .33011, .33909)]
    [InlineData(6500, .31349, .32366)]
    public void Planckian_locus(float kelvin, float x, float y)
    {
        var c = Planckian.Locus(kelvin);
        Assert.Equal(x, c.X, 1e-4f);
        Assert.Equal(y, c.Y, 1e-4f);
    }

    /// <summary>Planck's law summed over the CIE 1931 table against CIE 15's illuminant A (2856 K: .44757, .40745): checks table and law at once.</summary>
    [Fact]
    public void Planck_through_the_observer_is_illuminant_A()
    {
        var xyz = Vector3.Zero;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            xyz += (float)Planckian.Spectrum(2855.5, CieObserver.Nanometres(i)) * CieObserver.Row(i);
        }

        var c = Chromaticity.FromXyz(xyz);
        Assert.Equal(.44757f, c.X, 2e-4f);
        Assert.Equal(.40745f, c.Y, 2e-4f);
    }

    /// <summary>The equal-energy spectrum lies at (1/3, 1/3) by the CIE's definition of the observer; its ȳ sums to 10.6857 at 10 nm.</summary>
    [Fact]
    public void Equal_energy_is_a_third()
    {
        var sum = Vector3.Zero;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            sum += CieObserver.Row(i);
        }

        var c = Chromaticity.FromXyz(sum);
        Assert.Equal(1 / 3f, c.X, 3e-4f);
        Assert.Equal(1 / 3f, c.Y, 3e-4f);
        Assert.Equal(10.6857f, sum.Y, 5e-3f);
    }

    /// <summary>BT.709: primaries and white of the standard come out of the matrices.</summary>
    [Theory]
    [InlineData(1, 0, 0, .640, .330)]
    [InlineData(0, 1, 0, .300, .600)]
    [InlineData(0, 0, 1, .150, .060)]
    [InlineData(1, 1, 1, .3127, .3290)]
    public void Rec709_primaries(float r, float g, float b, float x, float y)
    {
        var xyz = Chromaticity.Rec709ToXyz(new Vector3(r, g, b));
        var c = Chromaticity.FromXyz(xyz);
        Assert.Equal(x, c.X, 1e-4f);
        Assert.Equal(y, c.Y, 1e-4f);
        var back = Chromaticity.XyzToRec709(xyz);
        Assert.Equal(r, back.X, 1e-5f);
        Assert.Equal(g, back.Y, 1e-5f);
        Assert.Equal(b, back.Z, 1e-5f);
    }

    [Fact]
    public void Flags_darken_and_colour()
    {
        var flags = new FlagColours(6500, 3200);
        Assert.Equal(1, flags.Xyz(0, 0, 0, 0).Y, 1e-5f);
        var cyan = Chromaticity.FromXyz(flags.Xyz(1, 0, 0, 0));
        var magenta = Chromaticity.FromXyz(flags.Xyz(0, 1, 0, 0));
        var yellow = Chromaticity.FromXyz(flags.Xyz(0, 0, 1, 0));
        Assert.True(cyan.X < .25f && magenta.Y < .25f && yellow.Y > .42f, $"{cyan} {magenta} {yellow}");
        Assert.True(flags.Xyz(1, 1, 1, 0).Y < .02f);
        // A temperature flag fully in is Planckian light of its temperature (Kang: 3200 K).
        var warm = Chromaticity.FromXyz(flags.Xyz(0, 0, 0, 1));
        Assert.Equal(.42318f, warm.X, 2e-3f);
        Assert.Equal(.39908f, warm.Y, 2e-3f);
    }

    [Fact]
    public void A_flag_half_in_equals_its_bands_summed_one_by_one()
    {
        var flags = new FlagColours(5600, 3200);
        double sum = 0, white = 0;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            var nm = CieObserver.Nanometres(i);
            var source = Planckian.Spectrum(5600, nm) * CieObserver.Row(i).Y;
            white += source;
            sum += source * (1 - (.3 * (1 - FlagColours.Cyan(nm)))) * (1 - (.7 * (1 - FlagColours.Yellow(nm))));
        }

        Assert.Equal(sum / white, flags.Xyz(.3f, 0, .7f, 0).Y, 4);
    }

    [Theory]
    [InlineData(0, 1, 1, 0, 0)]
    [InlineData(120, 1, 0, 1, 0)]
    [InlineData(240, 1, 0, 0, 1)]
    [InlineData(60, 1, 1, 1, 0)]
    [InlineData(0, 0, 1, 1, 1)]
    [InlineData(-60, 1, 1, 0, 1)]
    public void Hue_and_saturation(float hue, float saturation, float r, float g, float b) =>
        Assert.Equal(new Vector3(r, g, b), EmitterColour.HueSaturation(hue, saturation));
}
