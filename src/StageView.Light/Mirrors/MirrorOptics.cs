using StageView.Light.Moments;

namespace StageView.Light.Mirrors;

/// <summary>
/// What a flat mirror does to a ray: how much comes back, and from which depth. First-surface mirrors are bare metal;
/// second-surface ones have a clear sheet in front of the metal, which adds a faint front reflection and sets the
/// image back.
/// </summary>
public static class MirrorOptics
{
    /// <summary>
    /// Fresnel reflectance of unpolarised light at the boundary from air into a clear medium: the mean of the s and p
    /// reflectances (Hecht, Optics, "The Fresnel equations").
    /// </summary>
    /// <param name="cosIncidence">Cosine of the angle to the normal, 0 to 1.</param>
    /// <param name="index">Refractive index of the medium, 1 or more.</param>
    public static double FresnelReflectance(double cosIncidence, double index)
    {
        var ci = Math.Clamp(Math.Abs(cosIncidence), 0, 1);
        var sinT = Math.Sqrt(1 - (ci * ci)) / index;
        var ct = Math.Sqrt(Math.Max(0, 1 - (sinT * sinT)));
        var s = (ci - (index * ct)) / (ci + (index * ct));
        var p = ((index * ci) - ct) / ((index * ci) + ct);
        return ((s * s) + (p * p)) / 2;
    }

    /// <summary>
    /// Depth below the front face at which a plain mirror would have to lie to put the main image where the sheet puts
    /// it, m: t·tan θt / tan θi = t·cos θi / √(n² - sin² θi), from Snell's law. 0 for a first-surface mirror.
    /// </summary>
    public static double EffectiveDepth(double thickness, double index, double cosIncidence)
    {
        if (thickness <= 0)
        {
            return 0;
        }

        var ci = Math.Clamp(Math.Abs(cosIncidence), 0, 1);
        return thickness * ci / Math.Sqrt((index * index) - 1 + (ci * ci));
    }

    /// <summary>
    /// How the reflected light is shared out. With ρ the front face's reflectance and R the metal's: ghost ρ, main image
    /// (1-ρ)²·R, all images together ρ + (1-ρ)²·R / (1-ρR) (geometric series of inner reflections; absorption in the sheet is not counted).
    /// </summary>
    public static MirrorShares Shares(in Mirror mirror, double cosIncidence)
    {
        if (mirror.SheetThickness <= 0 || mirror.SheetIndex <= 1)
        {
            return new MirrorShares(0, mirror.Reflectance, mirror.Reflectance);
        }

        var rho = FresnelReflectance(cosIncidence, mirror.SheetIndex);
        var main = (1 - rho) * (1 - rho) * mirror.Reflectance;
        return new MirrorShares(rho, main, rho + (main / (1 - (rho * mirror.Reflectance))));
    }
}

/// <param name="Ghost">Share thrown back by the clear sheet's front face, 0 for a first-surface mirror.</param>
/// <param name="Main">Share in the main image, off the metal.</param>
/// <param name="Total">Share in all images together: what a reflected <see cref="Beam"/> carries on.</param>
public readonly record struct MirrorShares(double Ghost, double Main, double Total);
