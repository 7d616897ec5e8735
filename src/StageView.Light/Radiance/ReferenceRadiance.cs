using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Radiance;

/// <summary>
/// Light that haze scatters towards the eye along a view ray, integrated to a wanted accuracy: the judge of the
/// renderer's volume pass. Single scattering only: past an optical depth of about .3 the true haze is brighter (see <c>HazeFill</c>).
/// </summary>
/// <remarks>
/// For a view ray X(t) = O + t·d (d of unit length, t in metres from the eye) and one beam with apex A, direct or image,
/// <code>
/// L = ∫ σs · p(μ) · I(ω) / r² · V · e^(-σt·(t + s)) dt      over the t where X(t) is in the beam, 0 ≤ t ≤ far
/// r = |X - A|,  ω = (X - A)/r,  s = max(0, r - StartDistance),  μ = ω · (-d)
/// p(μ) = (1 - g²) / (4π (1 + g² - 2gμ)^(3/2))               Henyey and Greenstein 1941; ∫ p dΩ = 1
/// I(ω) = FluxLumens · CandelaPerLumen · f(angle of ω to the axis) · gobo(ω) · blades(ω, r) · Colour
/// </code>
/// s is the unfolded path from the lens over all mirrors, so one rule serves direct and reflected beams. The beam is: the
/// cone up to the cut-off; beyond the lens plane (X - A)·axis ≥ StartDistance; and for a reflected beam in front of the last mirror's
/// plane and inside the pyramid from A through the clip. V is 1, or 0 where scenery stands on a leg. With t = tc + D·tan φ (tc the
/// closest approach to A, D its distance) dt/r² = dφ/D, so the inverse square cancels (Kulla and Fajardo 2012). The result is luminance:
/// linear Rec.709 in cd/m². Patches in the haze are read as their mean.
/// </remarks>
public sealed class ReferenceRadiance
{
    // Gauss-Kronrod 7-15 abscissae and weights (QUADPACK, Piessens et al. 1983).
    private static readonly double[] Nodes =
    [
        0.991455371120812639206854697526329, 0.949107912342758524526189684047851, 0.864864423359769072789712788640926,
        0.741531185599394439863864773280788, 0.586087235467691130294144691693013, 0.405845151377397166906606412076961,
        0.207784955007898467600689403773245, 0,
    ];

    private static readonly double[] KronrodWeights =
    [
        0.022935322010529224963732008058970, 0.063092092629978553290700663189204, 0.104790010322250183839876322541518,
        0.140653259715525918745189590510238, 0.169004726639267902826583426598550, 0.190350578064785409913256402421014,
        0.204432940075298892414161999234649, 0.209482141084727828012999174891714,
    ];

    private static readonly double[] GaussWeights =
        [0.129484966168869693270611432679082, 0.279705391489276667901467771423780, 0.381830050505118944950369775488975, 0.417959183673469387755102040816327];

    private readonly Moment _moment;
    private readonly OcclusionScene? _scene;
    private readonly double _tolerance;

    /// <param name="moment">What is looked at.</param>
    /// <param name="scene">What casts shadows into the haze; null for none.</param>
    /// <param name="tolerance">Relative accuracy of each beam's share, such as 1e-6; shadow edges and gobos are refined to 2^-18 of the stretch at
    /// most.</param>
    public ReferenceRadiance(Moment moment, OcclusionScene? scene = null, double tolerance = 1e-6)
    {
        ArgumentNullException.ThrowIfNull(moment);
        _moment = moment;
        _scene = scene;
        _tolerance = tolerance;
    }

    /// <summary>Scattered luminance along a ray from every beam, cd/m².</summary>
    public Vector3 Along(Vector3 origin, Vector3 direction, float far)
    {
        var sum = Vector3.Zero;
        for (var i = 0; i < _moment.Beams.Length; i++)
        {
            sum += FromBeam(new BeamIndex(i), origin, direction, far);
        }

        return sum;
    }

    /// <summary>Scattered luminance along a ray from one beam, cd/m².</summary>
    /// <param name="beam">Which of <see cref="Moment.Beams"/>.</param>
    /// <param name="origin">The eye, m.</param>
    /// <param name="direction">Unit length.</param>
    /// <param name="far">Where the ray ends, m.</param>
    public Vector3 FromBeam(BeamIndex beam, Vector3 origin, Vector3 direction, float far)
    {
        var haze = _moment.Haze;
        ref readonly var b = ref _moment[beam];
        if (haze.ScatteringPerMetre <= 0 || !RayInterval.TryFind(_moment, NearField.Outer(b), b.Apex, origin, direction, far, out var from, out var to))
        {
            return Vector3.Zero;
        }

        var ray = new Integrand(_moment, _scene, b, origin, direction);
        var total = default(Double3);
        var sphere = b.Profile.IsOmnidirectional && b.StartDistance > ray.D
            ? Math.Sqrt(((double)b.StartDistance * b.StartDistance) - (ray.D * ray.D))
            : 0;
        // The parts outside an omnidirectional source's globe; the closest approach is always an end, where the integrand bends most.
        total = total.Plus(Part(ray, from, Math.Min(to, ray.Tc - sphere)));
        total = total.Plus(Part(ray, Math.Max(from, ray.Tc + sphere), to));
        return new Vector3((float)total.X, (float)total.Y, (float)total.Z);
    }

    private Double3 Part(in Integrand ray, double from, double to)
    {
        if (to <= from)
        {
            return default;
        }

        var (a, b) = (ray.Phi(from), ray.Phi(to));
        var pieces = _scene is null && ray.Plain ? 2 : 16;
        var coarse = default(Double3);
        for (var i = 0; i < pieces; i++)
        {
            coarse = coarse.Plus(Rule(ray, a + ((b - a) * i / pieces), a + ((b - a) * (i + 1) / pieces), out _));
        }

        var allowed = _tolerance * Math.Max(coarse.Largest, 1e-30);
        var sum = default(Double3);
        for (var i = 0; i < pieces; i++)
        {
            sum = sum.Plus(Refine(ray, a + ((b - a) * i / pieces), a + ((b - a) * (i + 1) / pieces), allowed / pieces, 14));
        }

        return sum;
    }

    private static Double3 Refine(in Integrand ray, double a, double b, double allowed, int depth)
    {
        var whole = Rule(ray, a, b, out var error);
        if (error <= allowed || depth == 0)
        {
            return whole;
        }

        var middle = 0.5 * (a + b);
        return Refine(ray, a, middle, allowed / 2, depth - 1).Plus(Refine(ray, middle, b, allowed / 2, depth - 1));
    }

    private static Double3 Rule(in Integrand ray, double a, double b, out double error)
    {
        var (centre, half) = (0.5 * (a + b), 0.5 * (b - a));
        var middle = ray.At(centre);
        var fine = middle.Times(KronrodWeights[7]);
        var rough = middle.Times(GaussWeights[3]);
        for (var k = 0; k < 7; k++)
        {
            var pair = ray.At(centre - (half * Nodes[k])).Plus(ray.At(centre + (half * Nodes[k])));
            fine = fine.Plus(pair.Times(KronrodWeights[k]));
            if ((k & 1) == 1)
            {
                rough = rough.Plus(pair.Times(GaussWeights[k / 2]));
            }
        }

        error = fine.Plus(rough.Times(-1)).Largest * half;
        return fine.Times(half);
    }

    private readonly struct Integrand
    {
        private readonly Moment _moment;
        private readonly OcclusionScene? _scene;
        private readonly Beam _beam;
        private readonly Vector3 _origin;
        private readonly Vector3 _direction;

        public Integrand(Moment moment, OcclusionScene? scene, in Beam beam, Vector3 origin, Vector3 direction)
        {
            (_moment, _scene, _beam, _origin, _direction) = (moment, scene, beam, origin, direction);
            var rel = origin - beam.Apex;
            Tc = -((double)rel.X * direction.X) - ((double)rel.Y * direction.Y) - ((double)rel.Z * direction.Z);
            var (x, y, z) = (rel.X + (Tc * direction.X), rel.Y + (Tc * direction.Y), rel.Z + (Tc * direction.Z));
            D = Math.Max(1e-6, Math.Sqrt((x * x) + (y * y) + (z * z)));
        }

        public double Tc { get; }

        public double D { get; }

        public bool Plain => _beam.Gobo.Image == 0 && _beam.Profile.Web.IsNone && _beam.Profile.Form == BeamForm.Round && _beam.Blades.Count == 0;

        public double Phi(double t) => Math.Atan2(t - Tc, D);

        public Double3 At(double phi)
        {
            var t = Tc + (D * Math.Tan(phi));
            var r = D / Math.Cos(phi);
            var x = _origin + (_direction * (float)t);
            var way = NearField.Way(_beam, x - _beam.Apex);
            var w = Vector3.Normalize(way);
            // How much the size of the lens takes off the inverse square that the angle has taken in.
            var near = _beam.NearLength > 0 ? r * r / way.LengthSquared() : 1;
            var candela = BeamPhotometry.CandelaRgb(_moment, _beam, w, (float)r);
            if (candela == Vector3.Zero || (_scene is not null && !UnfoldedPath.Clear(_moment, _scene, _beam, x)))
            {
                return default;
            }

            var haze = _moment.Haze;
            var s = Math.Max(0, r - _beam.StartDistance);
            var value = haze.ScatteringPerMetre * Phase(haze.Anisotropy, -Vector3.Dot(w, _direction))
                * Math.Exp(-haze.ExtinctionPerMetre * (t + s)) * near / D;
            return new Double3(candela.X * value, candela.Y * value, candela.Z * value);
        }
    }

    /// <summary>Henyey-Greenstein phase function, 1/sr: μ = 1 is straight on.</summary>
    public static double Phase(double g, double mu)
    {
        var d = 1 + (g * g) - (2 * g * mu);
        return (1 - (g * g)) / (4 * Math.PI * d * Math.Sqrt(d));
    }

    private readonly record struct Double3(double X, double Y, double Z)
    {
        public double Largest => Math.Max(Math.Abs(X), Math.Max(Math.Abs(Y), Math.Abs(Z)));

        public Double3 Plus(Double3 o) => new(X + o.X, Y + o.Y, Z + o.Z);

        public Double3 Times(double k) => new(X * k, Y * k, Z * k);
    }
}
