namespace StageView.Render.Output;

/// <summary>
/// Physical exposure at ISO 100. L = 2^(EV-3), E = 2.5 × 2^EV, saturation 1.2 × 2^EV (Filament's documentation of physically based cameras; ISO 2720 and 12232
/// constants).
/// </summary>
public static class Exposure
{
    /// <summary>Share of the pixels that the metered exposure lets reach saturation.</summary>
    public const double MeteredShare = 0.01;

    /// <summary>Luminance at which a channel saturates, cd/m².</summary>
    public static float SaturationLuminance(float ev100) => 1.2f * MathF.Pow(2, ev100);

    /// <summary>EV100 of a surface of the given mean luminance, cd/m².</summary>
    public static float FromLuminance(float candelaPerSquareMetre) => MathF.Log2(candelaPerSquareMetre) + 3;

    /// <summary>EV100 for the given illuminance on the subject, lx.</summary>
    public static float FromIlluminance(float lux) => MathF.Log2(lux / 2.5f);

    /// <summary>
    /// Metered exposure: the EV100, in thirds of a stop rounded up, at which the brightest 1 % of the pixels by luminance
    /// reach saturation and all others stay below; <paramref name="whenBlack"/> for a picture without light. The highlights are metered because most of
    /// a stage picture is dark on purpose. Never for frames that are compared with others: a fixture more would change every pixel.
    /// </summary>
    public static float Meter(LinearImage image, float whenBlack)
    {
        ArgumentNullException.ThrowIfNull(image);
        var luminances = new float[image.Width * image.Height];
        for (var i = 0; i < luminances.Length; i++)
        {
            var y = LinearImage.Luminance(new System.Numerics.Vector3(image.Rgb.AsSpan(i * 3, 3)));
            luminances[i] = float.IsFinite(y) ? y : 0;
        }

        Array.Sort(luminances);
        var bright = luminances[(int)((luminances.Length - 1) * (1 - MeteredShare))];
        if (!(bright > 1e-6f))
        {
            return whenBlack;
        }

        var ev = Math.Log2(bright / 1.2);
        return (float)Math.Clamp(Math.Ceiling((ev * 3) - 1e-4) / 3, -10, 24);
    }
}
