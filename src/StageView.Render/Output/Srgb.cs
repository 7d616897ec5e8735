namespace StageView.Render.Output;

/// <summary>The sRGB transfer function (IEC 61966-2-1), on values of 0 to 1. <c>shaders/include/tone.glsl</c> is its GPU twin.</summary>
public static class Srgb
{
    public static float Encode(float linear) =>
        linear <= 0.0031308f ? 12.92f * MathF.Max(linear, 0) : (1.055f * MathF.Pow(MathF.Min(linear, 1), 1f / 2.4f)) - 0.055f;

    public static float Decode(float encoded) =>
        encoded <= 0.04045f ? encoded / 12.92f : MathF.Pow((encoded + 0.055f) / 1.055f, 2.4f);

    /// <summary>Nearest 8-bit code; what is not a number becomes 0.</summary>
    public static byte Encode8(float linear) => (byte)((Encode(linear) * 255f) + 0.5f);
}
