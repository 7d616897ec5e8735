using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;

namespace StageView.Light.Photometry;

/// <summary>
/// Relative luminous intensity of a beam against the angle off its axis: 1 on the axis, 0.5 at the half beam angle,
/// 0.1 at the half field angle, exactly 0 from <see cref="CutoffRadians"/> on. One family serves hard spots and soft
/// washes: f(θ) = (exp(-k·(θ/b)^p) - g0) / (1 - g0) with b the half beam angle, g0 = <see cref="Floor"/>, k = <see cref="Knee"/>, and p following in
/// closed form from the two angles. A beam that is no circle across (<see cref="Form"/>) has the curve along its wider axis, and the same
/// curve drawn in by <see cref="Across"/> along each.
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

    /// <summary>Widest half angle, rad, at which an axis of a rectangle ends.</summary>
    private const float WidestEdge = 80 * MathF.PI / 180;

    /// <summary>Half beam angle (50 %), rad; along the wider axis of a beam that isn't round.</summary>
    public float HalfBeamRadians { get; private init; }

    /// <summary>Half field angle (10 %), rad; along the wider axis of a beam that isn't round.</summary>
    public float HalfFieldRadians { get; private init; }

    /// <summary>Angle from which on the intensity is zero in every direction, rad: a rectangle's at its corners. π for an omnidirectional source.</summary>
    public float CutoffRadians { get; private init; }

    /// <summary>Exponent p of the curve; 2 is near a Gaussian, above 8 a hard edge; 0 where there is no curve (omnidirectional, web).</summary>
    public float Exponent { get; private init; }

    /// <summary>Intensity on the axis for one lumen, cd/lm: 1 / ∫ f dΩ (of the web instead, where one is attached).</summary>
    public float CandelaPerLumen { get; private init; }

    /// <summary>What the beam looks like across.</summary>
    public BeamForm Form { get; private init; }

    /// <summary>Beam angle along the beam's own +X and +Y as shares of the wider one, 0 to 1; means nothing for a round beam.</summary>
    public Vector2 Across { get; private init; }

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

    /// <summary>Angles along +X and +Y from which on the intensity is zero, rad.</summary>
    public Vector2 EdgeRadians => Form switch
    {
        BeamForm.Round => new(CutoffRadians),
        BeamForm.Ellipse => Across * CutoffRadians,
        _ => Vector2.Min(Across * (HalfBeamRadians * MathF.Pow(-MathF.Log(Floor) / Knee, 1 / Exponent)), new Vector2(WidestEdge)),
    };

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

    /// <summary>The profile of a beam whose angles differ along its own +X and +Y. With equal angles an ellipse is the round profile.</summary>
    /// <param name="form">Ellipse or rectangle.</param>
    /// <param name="beamRadians">Full beam angles (50 %) along +X and +Y, rad, above 0.</param>
    /// <param name="fieldRatio">Field angle by beam angle, along both, at least 1.02.</param>
    public static AngularProfile FromTwoAngles(BeamForm form, Vector2 beamRadians, float fieldRatio)
    {
        var wide = MathF.Max(beamRadians.X, beamRadians.Y);
        var round = FromBeamAndField(wide, wide * fieldRatio);
        var across = Vector2.Clamp(beamRadians / wide, new Vector2(0.01f), Vector2.One);
        if (form == BeamForm.Round || (form == BeamForm.Ellipse && across == Vector2.One))
        {
            return round;
        }

        var shaped = round with { Form = form, Across = across };
        var edge = shaped.EdgeRadians;
        return shaped with
        {
            CutoffRadians = form == BeamForm.Ellipse ? round.CutoffRadians : Trig.Atan(new Vector2(Trig.Tan(edge.X), Trig.Tan(edge.Y)).Length()),
            CandelaPerLumen = (float)(1 / (form == BeamForm.Ellipse ? shaped.EllipseIntegral() : shaped.RectangleIntegral())),
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

    /// <summary>Full beam angle along +Y, rad.</summary>
    public float UpBeamRadians => 2 * HalfBeamRadians * (Form == BeamForm.Round ? 1 : Across.Y);

    /// <summary>
    /// Relative intensity at <paramref name="theta"/> rad off the axis, 0 to 1 (the curve; webs are asked through the moment). Of a beam that isn't round
    /// no direction so far off has more.
    /// </summary>
    public float At(float theta)
    {
        if (theta >= CutoffRadians)
        {
            return IsOmnidirectional ? 1 : 0;
        }

        if (Form != BeamForm.Rectangle)
        {
            return Curve(theta);
        }

        // A direction so far off reaches at least this far along one of the axes, and more along neither is brighter.
        var edge = EdgeRadians;
        var share = Trig.Tan(theta) / Trig.Tan(CutoffRadians);
        return MathF.Max(Curve(Trig.Atan(Trig.Tan(edge.X) * share) / Across.X), Curve(Trig.Atan(Trig.Tan(edge.Y) * share) / Across.Y));
    }

    /// <summary>Relative intensity towards a direction, 0 to 1.</summary>
    /// <param name="right">Its component along the beam's own +X.</param>
    /// <param name="up">Its component along +Y.</param>
    /// <param name="along">Its component along the axis. The three are a direction of any length.</param>
    public float Towards(float right, float up, float along)
    {
        var square = (right * right) + (up * up);
        if (Form != BeamForm.Rectangle)
        {
            var theta = Trig.Atan2(MathF.Sqrt(square), along);
            return Form == BeamForm.Round || square == 0 ? At(theta)
                : At(theta * MathF.Sqrt(((right * right / (Across.X * Across.X)) + (up * up / (Across.Y * Across.Y))) / square));
        }

        var (x, y) = (Trig.Atan2(MathF.Abs(right), along), Trig.Atan2(MathF.Abs(up), along));
        var edge = EdgeRadians;
        return along <= 0 || x >= edge.X || y >= edge.Y ? 0 : Curve(x / Across.X) * Curve(y / Across.Y);
    }

    private float Curve(float theta)
    {
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

    /// <summary>∫ f dΩ of an ellipse: the mean of round ones over azimuths, evenly spaced, which converges fast because it is periodic.</summary>
    private double EllipseIntegral()
    {
        const int turns = 96;
        double sum = 0;
        for (var i = 0; i < turns; i++)
        {
            var (sin, cos) = Math.SinCos((i + 0.5) * Math.PI / 2 / turns);
            var share = 1 / Math.Sqrt((cos * cos / (Across.X * Across.X)) + (sin * sin / (Across.Y * Across.Y)));
            sum += SolidAngleIntegral(HalfBeamRadians * share, Exponent, CutoffRadians * share) / turns;
        }

        return sum;
    }

    /// <summary>
    /// ∫ f dΩ of a rectangle by Simpson's rule. With x and y the angles along the axes, dΩ = sec²x sec²y / (1 + tan²x + tan²y)^(3/2) dx dy: a plane at unit
    /// distance, cosine over square.
    /// </summary>
    private double RectangleIntegral()
    {
        const int steps = 96;
        var edge = EdgeRadians;
        Span<double> fx = stackalloc double[steps + 1], fy = stackalloc double[steps + 1], tx = stackalloc double[steps + 1], ty = stackalloc double[steps + 1];
        for (var i = 0; i <= steps; i++)
        {
            var weight = (i is 0 or steps ? 1 : (i & 1) == 1 ? 4 : 2) / (3.0 * steps);
            var (x, y) = (edge.X * i / steps, edge.Y * i / steps);
            (tx[i], ty[i]) = (Math.Pow(Math.Tan(x), 2), Math.Pow(Math.Tan(y), 2));
            (fx[i], fy[i]) = (weight * edge.X * Curve(x / Across.X) * (1 + tx[i]), weight * edge.Y * Curve(y / Across.Y) * (1 + ty[i]));
        }

        double sum = 0;
        for (var i = 0; i <= steps; i++)
        {
            for (var k = 0; k <= steps; k++)
            {
                var square = 1 + tx[i] + ty[k];
                sum += fx[i] * fy[k] / (square * Math.Sqrt(square));
            }
        }

        return 4 * sum;
    }
}
