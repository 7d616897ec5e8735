using System.Numerics;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

public sealed class ExposureTests
{
    // Filament, "Physically based rendering", section on exposure: L = 2^(EV100-3), E = 2.5 x 2^EV100, saturation 1.2 x 2^EV100.
    [Theory]
    [InlineData(0, 0.125f, 2.5f, 1.2f)]
    [InlineData(7, 16, 320, 153.6f)]
    [InlineData(15, 4096, 81920, 39321.6f)]
    public void Exposure_values_by_their_definition(float ev, float luminance, float lux, float saturation)
    {
        Assert.Equal(ev, Exposure.FromLuminance(luminance), 1e-4f);
        Assert.Equal(ev, Exposure.FromIlluminance(lux), 1e-4f);
        Assert.Equal(saturation, Exposure.SaturationLuminance(ev), saturation * 1e-6f);
    }

    [Fact]
    public void Metering_lets_one_percent_saturate_and_no_more()
    {
        var image = TestPictures.Light(200, 100);
        var saturation = Exposure.SaturationLuminance(Exposure.Meter(image, 7));
        var above = 0;
        for (var i = 0; i < 200 * 100; i++)
        {
            above += image.LuminanceAt(i % 200, i / 200) > saturation ? 1 : 0;
        }

        Assert.InRange(above, 1, 200);
        Assert.InRange(image.Rgb.Length, 1, int.MaxValue);
    }

    [Fact]
    public void A_small_lamp_in_the_dark_does_not_decide()
    {
        var image = new LinearImage(100, 100);
        Array.Fill(image.Rgb, 10f);
        image[5, 5] = new Vector3(1e6f);
        Assert.Equal(Math.Ceiling(3 * Math.Log2(10 / 1.2)) / 3, Exposure.Meter(image, 7), 4);
        Assert.Equal(7, Exposure.Meter(new LinearImage(4, 4), 7));
    }
}
