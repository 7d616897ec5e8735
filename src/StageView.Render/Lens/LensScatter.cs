namespace StageView.Render.Lens;

/// <summary>
/// What a camera's lens scatters: of all light it keeps 1 - share in place and spreads the share as (1 + (θ/θ0)²)^-1.5 about it
/// (the profile of A. F. J. Moffat, Astronomy and Astrophysics 3, 455, 1969, with β = 1.5: a core, then a cube law in the angle). That profile is a mix of
/// Gaussians whose share wider than σ is erf(θ0 / (√2 σ)), since ∫ τ^½ e^(-τ(1+x²)) dτ ∝ (1 + x²)^-1.5.
/// </summary>
public static class LensScatter
{
    /// <summary>θ0, rad: a quarter of a degree; common practice, no source.</summary>
    public const float CoreRadians = 0.25f * MathF.PI / 180;

    /// <summary>Standard deviation that going down <paramref name="level"/> halvings (taps 1 3 3 1) and bilinearly up again gives, pixels.</summary>
    public static double Sigma(int level) => Math.Sqrt((Math.Pow(4, level) - 1) / 2);

    /// <summary>
    /// The share of the scattered light that each level from 1 on spreads; what is narrower than the first stays in place as [0]. They add up to 1.
    /// </summary>
    /// <param name="levels">Halvings, at least 1.</param>
    /// <param name="corePixels">θ0 in pixels.</param>
    public static float[] Shares(int levels, double corePixels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(levels, 1);
        var shares = new float[levels + 1];
        var wider = 1d;
        for (var k = 0; k < levels; k++)
        {
            // Between two levels at the mean of their logarithms; below the first half an octave.
            var border = k == 0 ? Sigma(1) / Math.Sqrt(2) : Math.Sqrt(Sigma(k) * Sigma(k + 1));
            var above = Erf(corePixels / (Math.Sqrt(2) * border));
            shares[k] = (float)(wider - above);
            wider = above;
        }

        shares[levels] = (float)wider;
        return shares;
    }

    /// <summary>Error function of x ≥ 0, absolute error below 1.5e-7: Abramowitz and Stegun 7.1.26.</summary>
    private static double Erf(double x)
    {
        var t = 1 / (1 + (0.3275911 * x));
        var p = t * (0.254829592 + (t * (-0.284496736 + (t * (1.421413741 + (t * (-1.453152027 + (t * 1.061405429))))))));
        return 1 - (p * Math.Exp(-x * x));
    }
}
