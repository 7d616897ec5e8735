using System.Numerics;

namespace StageView.Render.Tests.Output;

/// <summary>Published tone curves, to be compared with ours. Input in saturation luminances, output linear Rec.709 of the screen.</summary>
internal static class CommonCurves
{
    /// <summary>x / (1 + x) a channel: E. Reinhard et al., "Photographic tone reproduction for digital images", 2002, eq. 3.</summary>
    public static Vector3 Reinhard(Vector3 x)
    {
        x = Vector3.Max(x, Vector3.Zero);
        return x / (Vector3.One + x);
    }

    /// <summary>Per-channel fit of the ACES film curve: K. Narkowicz, 2015.</summary>
    public static Vector3 AcesFit(Vector3 x)
    {
        x = Vector3.Max(x, Vector3.Zero);
        return Vector3.Clamp(x * ((2.51f * x) + new Vector3(0.03f)) / ((x * ((2.43f * x) + new Vector3(0.59f))) + new Vector3(0.14f)), Vector3.Zero,
            Vector3.One);
    }

    /// <summary>A curve on the largest channel that whitens along a line in linear light: the Khronos group's PBR neutral tone mapper, 2024.</summary>
    public static Vector3 MaximumChannel(Vector3 x)
    {
        const float start = 0.8f - 0.04f;
        var least = MathF.Min(x.X, MathF.Min(x.Y, x.Z));
        x -= new Vector3(least < 0.08f ? least - (6.25f * least * least) : 0.04f);
        var peak = MathF.Max(x.X, MathF.Max(x.Y, x.Z));
        if (peak < start)
        {
            return x;
        }

        const float d = 1 - start;
        var lower = 1 - (d * d / (peak + d - start));
        var g = 1 - (1 / ((0.15f * (peak - lower)) + 1));
        return Vector3.Lerp(x * (lower / peak), new Vector3(lower), g);
    }
}
