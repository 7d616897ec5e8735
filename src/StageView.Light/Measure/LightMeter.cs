using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Measure;

/// <summary>
/// Illuminance at points of a moment. A plane is given by its normal: light counts that arrives from the side the normal
/// points to; light from behind counts nothing. Safe for many readers at once.
/// </summary>
/// <remarks>
/// From a beam with intensity I towards the point: E = I·cos(incidence) / r² · e^(-σt·s), r from the apex (for a reflected
/// beam the image apex), s = max(0, r - start distance), by the inverse square and cosine laws (IES Lighting Handbook); near a lens by
/// <see cref="NearField"/>. What haze throws on comes from <see cref="ForwardScatter"/>. Pixel surfaces are read directly only: their images in mirrors and
/// laser rays are left out.
/// </remarks>
public sealed partial class LightMeter
{
    /// <summary>How far off a surface the rays that look for obstacles start, so that the surface doesn't shade itself, m.</summary>
    public const float Lift = 1e-3f;

    private readonly Moment _moment;
    private readonly OcclusionScene? _scene;
    private readonly MeterSettings _settings;
    private readonly SurfaceSums?[] _surfaces;
    private readonly ForwardScatter? _forward;
    private readonly IndirectLight? _indirect;
    private readonly ShineLight? _shine;
    private readonly HazeFill? _fill;

    /// <summary>Cosine of each beam's cut-off angle, a little widened: most points lie outside most beams, and one product tells it.</summary>
    private readonly float[] _cutoffs;

    /// <param name="moment">What is measured.</param>
    /// <param name="scene">What blocks light; null measures as if nothing did.</param>
    /// <param name="settings">How; null for the defaults.</param>
    /// <param name="indirect">What matt surfaces throw on each other in that moment, or null to leave it out, and what shines with it.</param>
    public LightMeter(Moment moment, OcclusionScene? scene, MeterSettings? settings = null, IndirectLight? indirect = null)
    {
        ArgumentNullException.ThrowIfNull(moment);
        _indirect = indirect;
        _moment = moment;
        _scene = scene;
        _settings = settings ?? MeterSettings.Default;
        _shine = indirect is not null && scene is not null ? ShineLight.Of(moment, scene, _settings) : null;
        _surfaces = _settings.PixelSurfaces ? SumSurfaces() : [];
        _forward = _settings.ThroughHaze && _settings.ThrownForward && moment.Haze.ScatteringPerMetre > 0 ? new ForwardScatter(moment) : null;
        var flights = _forward is not null && scene is not null ? HazeFlights.Of(moment, scene) : null;
        _fill = flights is null ? null : new HazeFill(flights);
        _cutoffs = new float[moment.Beams.Length];
        for (var i = 0; i < _cutoffs.Length; i++)
        {
            var profile = moment.Beams.Span[i].Profile;
            _cutoffs[i] = profile.IsOmnidirectional ? -2 : Trig.Cos(MathF.Min(MathF.PI, profile.CutoffRadians)) - 1e-5f;
        }
    }

    public Moment Moment => _moment;

    internal OcclusionScene? Scene => _scene;

    /// <summary>Whether what matt surfaces throw on each other counts.</summary>
    public bool HasIndirect => _indirect is not null;

    internal MeterSettings Settings => _settings;

    /// <summary>Illuminance of a plane from every beam and pixel surface, and what matt surfaces throw where that counts.</summary>
    public Illuminance At(Vector3 point, Vector3 normal) => Gather(point, new PlaneReceiver(normal));

    /// <summary>Mean illuminance of all vertical planes at a point (EN 12464-1).</summary>
    public Illuminance Cylindrical(Vector3 point) => Gather(point, default(CylinderReceiver));

    /// <summary>Semicylindrical illuminance towards a horizontal direction (EN 13201-3): how well a face turned that way is modelled.</summary>
    public Illuminance SemiCylindrical(Vector3 point, Vector3 facing) =>
        Gather(point, new HalfCylinderReceiver(Vector3.Normalize(new Vector3(facing.X, facing.Y, 0))));

    private Illuminance Gather<TReceiver>(Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var sum = default(Illuminance);
        var beams = _moment.Beams.Span;
        for (var i = 0; i < beams.Length; i++)
        {
            if (!_settings.Reflected && beams[i].Bounces > 0)
            {
                continue;
            }

            var light = From(new BeamIndex(i), point, receiver);
            if (light != Vector3.Zero)
            {
                sum = sum.Plus(light, beams[i].Bounces == 0 ? LightKind.Direct : LightKind.Reflected);
            }
        }

        if (_settings.PixelSurfaces)
        {
            GatherSurfaces(point, receiver, ref sum);
        }

        if (_fill is not null)
        {
            sum = sum.Plus(Fill(_fill, point, receiver), LightKind.Indirect);
        }

        if (_indirect is null)
        {
            return sum;
        }

        var thrown = _indirect.At(point, receiver) + (_shine?.At(point, receiver) ?? Vector3.Zero);
        return sum.Plus(thrown, LightKind.Indirect);
    }

    /// <summary>What haze throws on of beams that go elsewhere; of one that goes here <see cref="ForwardScatter"/> has it.</summary>
    private Vector3 Fill<TReceiver>(HazeFill fill, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var beams = _moment.Beams.Span;
        var counts = new bool[beams.Length];
        for (var i = 0; i < beams.Length; i++)
        {
            counts[i] = !ForwardScatter.Reaches(beams[i], point - beams[i].Apex, fill: true) && (_settings.Reflected || beams[i].Bounces == 0);
        }

        return fill.At(point, receiver, counts);
    }

    /// <summary>Illuminance of a plane from one beam, lx.</summary>
    public float FromBeam(BeamIndex beam, Vector3 point, Vector3 normal) => BeamPhotometry.Luminance(From(beam, point, new PlaneReceiver(normal)));

    /// <summary>What one beam gives a receiver, and what haze throws on to it from that beam, linear Rec.709 in lx.</summary>
    private Vector3 From<TReceiver>(BeamIndex beam, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        ref readonly var b = ref _moment[beam];
        var light = Facing(b, beam, point, receiver.Normal, out var towards);
        light = light == Vector3.Zero ? light : light * receiver.Weight(towards);
        if (_forward is null || !ForwardScatter.Reaches(b, point - b.Apex, _fill is not null))
        {
            return light;
        }

        // In the shadow of something nothing is thrown on, where that is close; all of it, where it isn't: taken as nothing.
        var seen = light != Vector3.Zero || _scene is null || UnfoldedPath.Clear(_moment, _scene, b, point + (receiver.Normal * Lift));
        return seen ? light + _forward.At(beam, point, receiver) : light;
    }

    /// <summary>
    /// Illuminance that one beam would give a plane turned to face it, linear Rec.709 in lx; zero when the point is outside the
    /// beam, behind <paramref name="normal"/> (pass zero to take light from all round) or blocked.
    /// </summary>
    public Vector3 Facing(BeamIndex beam, Vector3 point, Vector3 normal, out Vector3 towards) => Facing(_moment[beam], beam, point, normal, out towards);

    /// <summary>The same for a beam that differs from the moment's only in flux and colour.</summary>
    internal Vector3 Facing(in Beam b, BeamIndex beam, Vector3 point, Vector3 normal, out Vector3 towards)
    {
        var to = point - b.Apex;
        if (b.NearLength > 0 && _settings.LensSize)
        {
            if (b.Bounces == 0 && Vector3.Dot(to, b.Axis) < b.StartDistance)
            {
                towards = default;
                return Vector3.Zero;
            }

            to = NearField.Way(b, to);
        }

        var square = to.LengthSquared();
        towards = default;
        if (square < 1e-8f)
        {
            return Vector3.Zero;
        }

        if (normal != Vector3.Zero && Vector3.Dot(to, normal) >= 0)
        {
            return Vector3.Zero;
        }

        var distance = MathF.Sqrt(square);
        if (Vector3.Dot(to, b.Axis) < _cutoffs[beam.Value] * distance)
        {
            return Vector3.Zero;
        }

        var direction = to / distance;
        towards = -direction;
        var candela = BeamPhotometry.CandelaRgb(_moment, b, direction, distance);
        if (candela == Vector3.Zero)
        {
            return Vector3.Zero;
        }

        var share = Share(b, point, normal, direction, distance);
        return share <= 0 ? Vector3.Zero : candela / square * (share * HazeOver(MathF.Max(0, distance - b.StartDistance)));
    }

    /// <summary>How much of the source the point sees, 0 to 1.</summary>
    private float Share(in Beam b, Vector3 point, Vector3 normal, Vector3 direction, float distance)
    {
        if (_settings.LensSize && LensShare.IsWide(b))
        {
            return LensShare.Of(_moment, _scene, b, point, point + (normal * Lift));
        }

        var seen = UnfoldedPath.Reaches(_moment, b, point, direction, distance)
            && (_scene is null || UnfoldedPath.Clear(_moment, _scene, b, point + (normal * Lift)));
        return seen ? 1 : 0;
    }
}
