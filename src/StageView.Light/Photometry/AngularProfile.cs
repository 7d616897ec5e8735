using StageView.Ground.Indices;

namespace StageView.Light.Photometry;

/// <summary>
/// Relative luminous intensity of a beam against the angle off its axis: 1 on the axis, 0.5 at the half beam angle,
/// 0.1 at the half field angle, exactly 0 from <see cref="CutoffRadians"/> on. One family serves hard spots and soft
/// washes: f(θ) = (exp(-k·(θ/b)^p) - g0) / (1 - g0) with b the half beam angle, g0 = <see cref="Floor"/>, k = <see cref="Knee"/>, and p following in
/// closed form from the two angles.
/// </summary>
/// <remarks>
/// Beam and field angle as 50 % and 10 % of the axis intensity: CIE S 017 / IES LM-75 use of the terms (the reference
/// here is the centre intensity). The curve's form is our own. <c>shaders/include/beam.glsl</c> is its GPU twin.
/// </remarks>
public readonly record struct AngularProfile
{
    /// <summary>The value of the unclipped curve that is brought down to zero at the cut-off.</summary>
    public const float Floor = 0.02f;

    /// <summary>k of the curve: -ln(½(1 - g0) + g0), so that it is ½ at the half beam angle.</summary>
    public const float Knee = 0.67334455f;

    /// <summary>Half beam angle (50 %), rad.</summary>
    public float HalfBeamRadians { get; private init; }

    /// <summary>Half field angle (10 %), rad.</summary>
    public float HalfFieldRadians { get; private init; }

    /// <summary>Angle from which on the intensity is zero, rad. π for an omnidirectional source.</summary>
    public float CutoffRadians { get; private init; }

    /// <summary>Exponent p of the curve; 2 is near a Gaussian, above 8 a hard edge; 0 where there is no curve (omnidirectional, web).</summary>
    public float Exponent { get; private init; }

    /// <summary>Intensity on the axis for one lumen, cd/lm: 1 / ∫ f dΩ (of the web instead, where one is attached).</summary>
    public float CandelaPerLumen { get; private init; }

    /// <summary>The photometric web, of those that come with the moment, that replaces the curve; or none.</summary>
    public WebIndex Web { get; private init; }

    /// <summary>The same in every direction (a globe): 1/4π cd per lumen.</summary>
    public static AngularProfile Omnidirectional { get; } = new()
    {
        HalfBeamRadians = MathF.PI,
        HalfFieldRadians = MathF.PI,
        CutoffRadians = MathF.PI,
        Exponent = 0,
        CandelaPerLumen = 1f / (4f * MathF.PI),
        Web = WebIndex.None,
    };

    public bool IsOmnidirectional => CutoffRadians >= MathF.PI;

    /// <summary>The profile with the given full angles.</summary>
    /// <param name="beamRadians">Full beam angle (50 %), rad, above 0.</param>
    /// <param name="fieldRadians">Full field angle (10 %), rad; raised to 1.02 × the beam angle when smaller, cut so that the cut-off stays below 89°.</param>
    public static AngularProfile FromBeamAndField(float beamRadians, float fieldRadians)
    {
        var b = Math.Clamp(beamRadians * 0.5, 1e-4, 1.4);
        var c = Math.Clamp(fieldRadians * 0.5, b * 1.02, Math.Max(b * 1.02, 1.5));
        // exp(-k) = .5(1-g0)+g0, exp(-k (c/b)^p) = .1(1-g0)+g0
        const double k = Knee;
        var lc = -Math.Log((0.1 * (1 - Floor)) + Floor);
        var p = Math.Log(lc / k) / Math.Log(c / b);
        var cutoff = Math.Min(b * Math.Pow(-Math.Log(Floor) / k, 1 / p), 89 * Math.PI / 180);
        return new AngularProfile
        {
            HalfBeamRadians = (float)b,
            HalfFieldRadians = (float)c,
            CutoffRadians = (float)cutoff,
            Exponent = (float)p,
            CandelaPerLumen = (float)(1 / SolidAngleIntegral(b, p, cutoff)),
            Web = WebIndex.None,
        };
    }

    /// <summary>A profile whose intensity comes from a photometric web instead of the curve.</summary>
    /// <param name="web">Which of the webs that come with the moment; not none.</param>
    /// <param name="cutoffRadians">Angle off the axis beyond which the web is zero, rad.</param>
    /// <param name="candelaPerLumen">Intensity that the web's relative value 1 stands for, cd/lm.</param>
    /// <param name="halfBeamRadians">Half beam angle measured on the web, rad.</param>
    /// <param name="halfFieldRadians">Half field angle measured on the web, rad.</param>
    public static AngularProfile FromWeb(
        WebIndex web, float cutoffRadians, float candelaPerLumen, float halfBeamRadians, float halfFieldRadians) => new()
        {
            HalfBeamRadians = halfBeamRadians,
            HalfFieldRadians = halfFieldRadians,
            CutoffRadians = cutoffRadians,
            Exponent = 0,
            CandelaPerLumen = candelaPerLumen,
            Web = web,
        };

    /// <summary>Relative intensity at <paramref name="theta"/> rad off the axis, 0 to 1 (the curve; webs are asked through the moment).</summary>
    public float At(float theta)
    {
        if (theta >= CutoffRadians)
        {
            return IsOmnidirectional ? 1 : 0;
        }

        if (Exponent == 0)
        {
            return 1;
        }

        var f = (MathF.Exp(-Knee * MathF.Pow(theta / HalfBeamRadians, Exponent)) - Floor) / (1 - Floor);
        return MathF.Max(0, f);
    }

    /// <summary>
    /// 2π ∫ f(θ) sin θ dθ in closed form. With sin θ as its series, each term is ∫ exp(-k(θ/b)^p) θ^(2m+1) dθ, an incomplete
    /// gamma function γ(s, x) with s = (2m+2)/p and x = k(cut-off/b)^p, whose series x^s e^-x Σ x^n / s(s+1)…(s+n) (Abramowitz
    /// and Stegun 6.5.29) converges in some twenty terms because x is at most -ln 0.02. Profiles change at every frame of a zoom.
    /// </summary>
    private static double SolidAngleIntegral(double b, double p, double cutoff)
    {
        var x = Knee * Math.Pow(cutoff / b, p);
        double sum = 0, power = cutoff * cutoff;
        for (var m = 0; m < 8; m++)
        {
            var s = ((2 * m) + 2) / p;
            double term = 1 / s, series = term;
            for (var n = 1; n < 60 && term > series * 1e-9; n++)
            {
                term *= x / (s + n);
                series += term;
            }

            sum += power * series;
            if (Math.Abs(power * series) < 1e-9 * sum)
            {
                break;
            }

            power *= -(cutoff * cutoff) / (((2 * m) + 2) * ((2 * m) + 3));
        }

        sum *= Math.Exp(-x) / p;
        return 2 * Math.PI / (1 - Floor) * (sum - (Floor * (1 - Math.Cos(cutoff))));
    }
}
