using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Radiance;

namespace StageView.Light.Measure;

/// <summary>
/// What haze takes out of a direct beam and throws on to where the beam goes. Each beam is cut into pencils of light of F lumens along w; at a receiver
/// they give
/// <code>
/// E = Σ σs F/D ∫ p(μ) e^(-σt (r + s)) weight dφ        s the way from the pencil to the receiver, D the least one, r = rc + D tan φ along the pencil
/// </code>
/// (dr/s² = dφ/D as along a ray to the eye, Kulla and Fajardo 2012; p of Henyey and Greenstein). D is kept above half the pencil's own radius, since the
/// mean of 1/D over a disc is 2/radius at its middle.
/// </summary>
/// <remarks>
/// Light that is thrown on more than once is taken as an exponential's further terms: E (e^x - 1)/x with x the light thrown once by the light straight on
/// at full intensity. With g = 1 that gives back all that was scattered, as it must. Against a Monte Carlo: <c>ForwardScatterTests</c>.
/// </remarks>
internal sealed class ForwardScatter
{
    private const int Around = 8;

    /// <summary>Beyond so many tangents of the cut-off nothing is added: where <see cref="HazeFill"/> has what lies outside, about where light ends.</summary>
    private const float Wide = 2.5f, WideBesideFill = 1.2f;

    // Gauss-Legendre on -1 to 1, four and eight points: Abramowitz and Stegun, table 25.4.
    private static readonly (float At, float Weight)[] Four =
        [(-0.8611363116f, 0.3478548451f), (-0.3399810436f, 0.6521451549f), (0.3399810436f, 0.6521451549f), (0.8611363116f, 0.3478548451f)];

    private static readonly (float At, float Weight)[] Eight =
    [
        (-0.9602898565f, 0.1012285363f), (-0.7966664774f, 0.2223810345f), (-0.5255324099f, 0.3137066459f), (-0.1834346425f, 0.3626837834f),
        (0.1834346425f, 0.3626837834f), (0.5255324099f, 0.3137066459f), (0.7966664774f, 0.2223810345f), (0.9602898565f, 0.1012285363f),
    ];

    private readonly Moment _moment;
    private readonly Pencil[]?[] _pencils;

    public ForwardScatter(Moment moment)
    {
        _moment = moment;
        _pencils = new Pencil[moment.Beams.Length][];
    }

    /// <summary>True when a beam throws light on that far off its axis; lamps that shine all round and beams off mirrors don't count.</summary>
    /// <param name="beam">The beam.</param>
    /// <param name="to">From its apex, m.</param>
    /// <param name="fill">Whether there is a fill.</param>
    public static bool Reaches(in Beam beam, Vector3 to, bool fill)
    {
        if (beam.Bounces > 0 || beam.Profile.CutoffRadians > 1.4f)
        {
            return false;
        }

        var along = Vector3.Dot(to, beam.Axis);
        var wide = (fill ? WideBesideFill : Wide) * Trig.Tan(beam.Profile.CutoffRadians) * along;
        return along > beam.StartDistance && to.LengthSquared() - (along * along) < wide * wide;
    }

    /// <summary>Illuminance at a point, linear Rec.709 in lx; obstacles are not asked for.</summary>
    public Vector3 At<TReceiver>(BeamIndex index, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var haze = _moment.Haze;
        ref readonly var beam = ref _moment[index];
        var pencils = _pencils[index.Value] ??= Cut(beam);
        var to = point - beam.Apex;
        var sum = Vector3.Zero;
        foreach (var pencil in pencils)
        {
            var closest = Vector3.Dot(to, pencil.Direction);
            var across = to - (pencil.Direction * closest);
            var off = MathF.Sqrt(across.LengthSquared() + MathF.Pow(0.5f * pencil.Radius * closest, 2));
            var last = End(point, receiver.Normal, beam.Apex, pencil.Direction);
            var (a, b) = (Trig.Atan2(beam.StartDistance - closest, off), Trig.Atan2(last - closest, off));
            if (b <= a || off <= 0)
            {
                continue;
            }

            var part = 0f;
            foreach (var (node, share) in Eight)
            {
                var (sin, cos) = Trig.SinCos((0.5f * (a + b)) + (0.5f * (b - a) * node));
                var way = off / cos;
                var back = sin * way;
                var towards = Vector3.Normalize((pencil.Direction * back) - across);
                part += share * (float)ReferenceRadiance.Phase(haze.Anisotropy, -sin) * receiver.Weight(towards)
                    * MathF.Exp(-haze.ExtinctionPerMetre * (closest + back - beam.StartDistance + way));
            }

            sum += pencil.Flux * (haze.ScatteringPerMetre / off * 0.5f * (b - a) * part);
        }

        return sum * Further(beam, to, sum, receiver);
    }

    /// <summary>(e^x - 1)/x: what being thrown on again and again adds to once.</summary>
    private float Further<TReceiver>(in Beam beam, Vector3 to, Vector3 once, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var distance = to.Length();
        var weight = receiver.Weight(-to / distance);
        var full = beam.PeakCandela * BeamPhotometry.Luminance(beam.Colour) * weight / (distance * distance)
            * MathF.Exp(-_moment.Haze.ExtinctionPerMetre * distance);
        var most = _moment.Haze.ScatteringPerMetre * distance;
        var x = full > 0 ? MathF.Min(most, BeamPhotometry.Luminance(once) / full) : most;
        return x < 1e-3f ? 1 : (MathF.Exp(x) - 1) / x;
    }

    /// <summary>Where a pencil comes to the receiver's plane, m along it.</summary>
    private static float End(Vector3 point, Vector3 normal, Vector3 apex, Vector3 direction)
    {
        const float far = 1000;
        var slope = Vector3.Dot(direction, normal);
        return slope > -1e-4f ? far : Math.Clamp(Vector3.Dot(point - apex, normal) / slope, 0, far);
    }

    private Pencil[] Cut(in Beam beam)
    {
        var pencils = new List<Pencil>(Four.Length * Around);
        var half = beam.Profile.CutoffRadians / 2;
        var right = beam.Right;
        for (var ring = 0; ring < Four.Length; ring++)
        {
            var theta = half * (1 + Four[ring].At);
            var (sin, cos) = Trig.SinCos(theta);
            var solid = half * Four[ring].Weight * sin * MathF.Tau / Around;
            for (var k = 0; k < Around; k++)
            {
                var (y, x) = Trig.SinCos((k + (0.5f * (ring & 1))) * MathF.Tau / Around);
                var direction = Vector3.Normalize((beam.Axis * cos) + (((right * x) + (beam.Up * y)) * sin));
                var flux = BeamPhotometry.CandelaRgb(_moment, beam, direction) * solid;
                if (flux != Vector3.Zero)
                {
                    pencils.Add(new Pencil(direction, flux, MathF.Sqrt(solid / MathF.PI)));
                }
            }
        }

        return [.. pencils];
    }

    /// <param name="Direction">Unit length.</param>
    /// <param name="Flux">Linear Rec.709, lm.</param>
    /// <param name="Radius">Of the disc that has its solid angle, m a metre.</param>
    private readonly record struct Pencil(Vector3 Direction, Vector3 Flux, float Radius);
}
