using System.Globalization;
using System.Numerics;
using SkiaSharp;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>A row of greys a stop apart as this picture shows them, with the luminance that each stands for.</summary>
internal static class ExposureRuler
{
    private const int FirstStop = -8;
    private const int LastStop = 4;

    public static void Paint(AidPage page, AidInput input)
    {
        var ev = input.Camera.Ev100;
        var saturation = Exposure.SaturationLuminance(ev);
        var projector = input.Camera.ProjectorKelvin;
        var shownBy = projector == WhitePoint.D65Kelvin ? "" : string.Create(CultureInfo.InvariantCulture, $", projector {projector:0} K");
        var title = string.Create(CultureInfo.InvariantCulture, $"EV {ev:0.#}, white point {input.Camera.WhitePointKelvin:0} K{shownBy}; greys in cd/m²");
        if (input.Linear is { } linear)
        {
            title += string.Create(CultureInfo.InvariantCulture, $"; {ShareAbove(linear, saturation) * 100:0.0} % saturate");
        }

        var step = MathF.Round(28 * page.Unit);
        var width = MathF.Max(step * (LastStop - FirstStop + 1), page.WidthOf(title)) + (8 * page.Unit);
        var height = (page.LineHeight * 2) + (16 * page.Unit);
        var all = SKRect.Create(4, page.Height - height - 4, width, height);
        page.Placer.Reserve(all);
        page.Panel(() => Draw(page, all, step, title, saturation, ToneCurve.Of(input.Camera).Gains));
    }

    private static void Draw(AidPage page, SKRect all, float step, string title, float saturation, Vector3 gains)
    {
        const int count = LastStop - FirstStop + 1;
        page.Fill(all, AidColours.Panel, 2 * page.Unit);
        var left = MathF.Round(all.Left + (4 * page.Unit));
        page.Text(SKRect.Create(left, all.Top, page.WidthOf(title), page.LineHeight), title, AidColours.Ink);
        var top = MathF.Round(all.Top + page.LineHeight);
        var bottom = MathF.Round(top + (14 * page.Unit));
        for (var i = 0; i < count; i++)
        {
            var stop = FirstStop + i;
            var grey = gains * ToneCurve.Shape(new Vector3(MathF.Pow(2, stop)));
            var patch = new SKRect(left + (i * step), top, left + ((i + 1) * step), bottom);
            page.Fill(patch, new SKColor(Srgb.Encode8(grey.X), Srgb.Encode8(grey.Y), Srgb.Encode8(grey.Z)));
            if (stop == 0)
            {
                // The stop at which a channel saturates.
                page.Box(SKRect.Inflate(patch, -1, -1), new SKColor(20, 20, 20), page.Unit);
            }

            if ((stop & 1) == 0)
            {
                page.Text(new SKRect(patch.Left - step, bottom, patch.Right + step, bottom + page.LineHeight), Figures.Short(saturation * MathF.Pow(2, stop)),
                    AidColours.Ink);
            }
        }
    }

    private static double ShareAbove(LinearImage image, float saturation)
    {
        var above = 0;
        var pixels = image.Width * image.Height;
        for (var i = 0; i < pixels; i++)
        {
            above += LinearImage.Luminance(new Vector3(image.Rgb.AsSpan(i * 3, 3))) > saturation ? 1 : 0;
        }

        return (double)above / pixels;
    }
}
