using System.Runtime.Intrinsics;

namespace StageView.Snapshot.Compare;

/// <summary>
/// OKLab from linear Rec.709, eight pixels at once (B. Ottosson, "A perceptual color space for image processing", 2020; matrices as published there).
/// </summary>
internal static class OkLab
{
    public static (Vector256<float> L, Vector256<float> A, Vector256<float> B) From(Vector256<float> r, Vector256<float> g, Vector256<float> b)
    {
        var l = CubeRoot((r * 0.4122214708f) + (g * 0.5363325363f) + (b * 0.0514459929f));
        var m = CubeRoot((r * 0.2119034982f) + (g * 0.6806995451f) + (b * 0.1073969566f));
        var s = CubeRoot((r * 0.0883024619f) + (g * 0.2817188376f) + (b * 0.6299787005f));
        return (
            (l * 0.2104542553f) + (m * 0.7936177850f) - (s * 0.0040720468f),
            (l * 1.9779984951f) - (m * 2.4285922050f) + (s * 0.4505937099f),
            (l * 0.0259040371f) + (m * 0.7827717662f) - (s * 0.8086757660f));
    }

    /// <summary>Cube root of positive numbers: a guess from the exponent, then three steps of Newton; relative error below 1e-6.</summary>
    internal static Vector256<float> CubeRoot(Vector256<float> x)
    {
        var bits = Vector256.ConvertToInt32(Vector256.ConvertToSingle(x.AsInt32()) / 3f) + Vector256.Create(0x2A51_19F2);
        var y = bits.AsSingle();
        for (var i = 0; i < 3; i++)
        {
            y = ((2f * y) + (x / (y * y))) / 3f;
        }

        return y;
    }
}
