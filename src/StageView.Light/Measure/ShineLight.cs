using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Measure;

/// <summary>
/// What surfaces that shine throw on of the beams that land on them: each beam is cut into pencils, and what a pencil of F lumens lands is thrown to a
/// receiver by <see cref="Gloss"/>,
/// <code>
/// E = Σ F f cos(out) weight e^(-σt d) / d²
/// </code>
/// The surface counts as rougher by as much as the pencils lie apart: δ over s metres to the surface turns the half vector by
/// δ (1 + s/d) / 2. So the mirror image of a spot is blurred by about a pencil's width, and the light in it is right. What pixel surfaces and lasers light is
/// left out, and what is thrown on so twice.
/// </summary>
internal sealed class ShineLight
{
    private readonly OcclusionScene _scene;
    private readonly float _extinction;
    private readonly List<Glint> _glints = [];

    private ShineLight(OcclusionScene scene, float extinction) => (_scene, _extinction) = (scene, extinction);

    /// <summary>Of a moment, or null where nothing shines.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="scene">Its obstacles.</param>
    /// <param name="settings">How is measured.</param>
    public static ShineLight? Of(Moment moment, OcclusionScene scene, MeterSettings settings)
    {
        var any = false;
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            any |= piece.Shine > 0;
        }

        if (!any)
        {
            return null;
        }

        var light = new ShineLight(scene, settings.ThroughHaze ? moment.Haze.ExtinctionPerMetre : 0);
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (settings.Reflected || beam.Bounces == 0)
            {
                light.Add(moment, beam);
            }
        }

        return light._glints.Count > 0 ? light : null;
    }

    /// <summary>What a receiver gets at a point, linear Rec.709 in lx.</summary>
    public Vector3 At<TReceiver>(Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var sum = Vector3.Zero;
        foreach (var glint in _glints)
        {
            var to = glint.Point - point;
            var square = to.LengthSquared();
            var out_ = -Vector3.Dot(to, glint.Normal);
            if (out_ <= 0 || square < 1e-6f)
            {
                continue;
            }

            var d = MathF.Sqrt(square);
            var towards = to / d;
            var weight = receiver.Weight(towards);
            if (weight <= 0)
            {
                continue;
            }

            // Nearer than a pencil is wide on the surface, no nearer.
            var apart = glint.Spread * 0.5f * (1 + (glint.Metres / d));
            var roughness = MathF.Sqrt((glint.Roughness * glint.Roughness) + (apart * apart));
            var f = Gloss.Of(glint.Normal, glint.ToLight, -towards, glint.Shine, MathF.Min(roughness, 1));
            var wide = glint.Spread * glint.Metres;
            var share = f * (out_ / d) * weight / MathF.Max(square, wide * wide) * MathF.Exp(-_extinction * d);
            if (share > 0 && !_scene.Blocked(point + (receiver.Normal * LightMeter.Lift), glint.Point + (glint.Normal * LightMeter.Lift), FixtureIndex.None))
            {
                sum += glint.Flux * share;
            }
        }

        return sum;
    }

    private void Add(Moment moment, in Beam beam)
    {
        var count = beam.Profile.IsOmnidirectional ? 3000 : beam.Profile.CutoffRadians > 0.6f ? 1600 : 800;
        foreach (var pencil in BeamPencils.Of(moment, _scene, beam, BeamPencils.Even(moment, beam, count)))
        {
            if (pencil.Hit is not { } hit || moment[hit.Instance] is not { Shine: > 0 } piece)
            {
                continue;
            }

            var metres = Vector3.Distance(hit.Point, beam.Apex);
            var flux = pencil.Candela * (float)(pencil.Weight * Math.Exp(-_extinction * Math.Max(0, metres - beam.StartDistance)));
            _glints.Add(new Glint(hit.Point, hit.Normal, -pencil.Direction, flux, metres, MathF.Sqrt((float)pencil.Weight), piece.Shine, piece.Roughness));
        }
    }

    /// <param name="Point">Where a pencil lands, m.</param>
    /// <param name="Normal">Of the surface, to where the light comes from.</param>
    /// <param name="ToLight">Unit.</param>
    /// <param name="Flux">Linear Rec.709, lm.</param>
    /// <param name="Metres">From the apex.</param>
    /// <param name="Spread">How far pencils lie apart, rad: over lobes as wide the sum is even within some percent.</param>
    /// <param name="Shine">See <see cref="MeshInstance.Shine"/>.</param>
    /// <param name="Roughness">See <see cref="MeshInstance.Roughness"/>.</param>
    private readonly record struct Glint(
        Vector3 Point, Vector3 Normal, Vector3 ToLight, Vector3 Flux, float Metres, float Spread, float Shine, float Roughness);
}
