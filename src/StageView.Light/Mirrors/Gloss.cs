using System.Numerics;

namespace StageView.Light.Mirrors;

/// <summary>
/// What a shiny surface throws on as a rough mirror: microfacets of Trowbridge and Reitz's distribution ("GGX", B. Walter et al., Microfacet models for
/// refraction, 2007), height-correlated shadowing (E. Heitz, Journal of Computer Graphics Techniques 3(2), 2014), Fresnel by C. Schlick (Computer Graphics
/// Forum 13, 233, 1994). What it doesn't throw on so meets the albedo: see <see cref="GlossShares"/>. GPU twin: <c>shaders/include/gloss.glsl</c>.
/// </summary>
public static class Gloss
{
    /// <summary>The smallest roughness; polished to what a picture can show.</summary>
    public const float LeastRoughness = 0.02f;

    /// <summary>The largest shine: a little is left to the albedo.</summary>
    public const float MostShine = 0.95f;

    /// <summary>The share of light that a facet throws back.</summary>
    /// <param name="shine">That share at right angles, 0 to <see cref="MostShine"/>.</param>
    /// <param name="cosine">Of the angle between light and facet's normal, 0 to 1.</param>
    public static float Fresnel(float shine, float cosine)
    {
        var left = 1 - Math.Clamp(cosine, 0, 1);
        var square = left * left;
        return shine + ((1 - shine) * square * square * left);
    }

    /// <summary>Radiance thrown to a side by 1 lx of light from another (the BRDF), 1/sr; 0 where either is behind.</summary>
    /// <param name="normal">Unit.</param>
    /// <param name="light">To the light, unit.</param>
    /// <param name="eye">To the eye, unit.</param>
    /// <param name="shine">0 to <see cref="MostShine"/>.</param>
    /// <param name="roughness">About the tangent of the facets' usual slope, <see cref="LeastRoughness"/> to 1.</param>
    public static float Of(Vector3 normal, Vector3 light, Vector3 eye, float shine, float roughness)
    {
        var (l, v) = (Vector3.Dot(normal, light), Vector3.Dot(normal, eye));
        if (l <= 0 || v <= 0)
        {
            return 0;
        }

        var half = Vector3.Normalize(light + eye);
        // 1 - cos^2 by the cross product: the difference loses all digits near the mirror's direction.
        var square = roughness * roughness;
        var off = Vector3.Cross(normal, half).LengthSquared();
        var d = off + ((1 - off) * square);
        return square / (MathF.PI * d * d) * Visible(l, v, square) * Fresnel(shine, Vector3.Dot(half, eye));
    }

    /// <summary>G / (4 cos cos).</summary>
    internal static float Visible(float l, float v, float square) =>
        0.5f / ((l * MathF.Sqrt((v * v * (1 - square)) + square)) + (v * MathF.Sqrt((l * l * (1 - square)) + square)));
}
