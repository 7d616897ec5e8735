using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Optics;

/// <summary>From a fixture's values to the beams of one emitter at full intensity.</summary>
internal static class EmitterOptics
{
    private const float FrostDegrees = 14;
    private const float FrostLoss = .1f;

    /// <summary>Ratio of field to beam angle of a Gaussian, √(ln 10 / ln 2): what full frost tends to.</summary>
    private const float GaussianRatio = 1.8226f;

    public static void Evaluate(FixtureRun run, int index, double t, ProfileCache profiles, IReadOnlyList<GoboImage> gobos)
    {
        var code = run.Program.Emitters[index];
        var state = run.Emitters[index];
        var v = new EmitterValues();
        v.Read(run, code, t);
        var (rgb, y) = EmitterColour.Mix(code, v);
        state.Filter = v.Filter;
        state.Surface = rgb;
        if (code.Lines.Length > 0)
        {
            Laser(code, state, v);
        }

        state.Count = 0;
        if (code.Node.Beam is { } beam && y > 1e-6f)
        {
            Beams(run, index, code, beam, state, v, rgb / y, y, profiles, gobos);
        }
    }

    private static void Laser(EmitterCode code, EmitterState state, in EmitterValues v)
    {
        var laser = code.Node.Laser!;
        var sum = Vector3.Zero;
        float lumens = 0, share = 0;
        for (var i = 0; i < code.Lines.Length; i++)
        {
            var level = code.IsAdditive && code.Lines.Length > 1 ? v.Line(i) : 1;
            lumens += level * code.Lines[i].Lumens;
            sum += level * code.Lines[i].Lumens * code.Lines[i].Colour;
            share += level * (i < laser.PowerShares.Length ? laser.PowerShares[i] : 0);
        }

        (state.LaserLumens, state.LaserShare) = (lumens, share);
        state.Scan = v.Scan > 0 ? v.Scan : laser.Scan;
        state.LaserColour = lumens > 0 ? sum / lumens : Vector3.Zero;
    }

    private static void Beams(
        FixtureRun run, int index, EmitterCode code, BeamData data, EmitterState state, in EmitterValues v,
        Vector3 colour, float luminance, ProfileCache profiles, IReadOnlyList<GoboImage> gobos)
    {
        var pose = run.World[code.Node.Index];
        var axis = pose.TransformDirection(-Vector3.UnitZ);
        var up = pose.TransformDirection(Vector3.UnitY);
        var flux = data.LuminousFlux * luminance;
        var beam = new Beam
        {
            Fixture = run.Fixture.Index,
            Emitter = index,
            Parent = BeamIndex.None,
            Throughput = 1,
            Apex = pose.Position,
            Axis = axis,
            Up = up,
            Colour = colour,
            ApertureRadius = data.GlobeRadius > 0 ? data.GlobeRadius : data.LensRadius,
            Frost = v.Frost,
            Iris = v.Iris,
            FocusDistance = v.Focus,
        };
        if (data.Kind == BeamKind.Glow)
        {
            state.BeamAngle = state.BeamAngleUp = 2 * MathF.PI;
            state.Beams[0] = beam with { Profile = AngularProfile.Omnidirectional, FluxLumens = flux };
            state.Count = 1;
            return;
        }

        if (profiles.HasWeb(data))
        {
            var web = profiles.Web(data.Web);
            state.BeamAngle = state.BeamAngleUp = 2 * web.HalfBeamRadians;
            state.Beams[0] = AtLens(beam with { Profile = web, FluxLumens = flux, Blades = v.Blades.Of(web, v.Focus > 0, Blur(v)) }, data);
            state.Count = 1;
            return;
        }

        var zoom = v.Zoom > 0 ? v.Zoom * Angles.RadiansPerDegree : data.BeamAngle;
        var ratio = data.BeamAngle > 0 ? data.FieldAngle / data.BeamAngle : 1.1f;
        var shape = (data.Form, data.Form == BeamForm.Round ? 1 : Trig.Tan(data.BeamAngleUp / 2) / Trig.Tan(data.BeamAngle / 2));
        var open = profiles.Get(shape, zoom, zoom * ratio);
        var profile = open;
        if (v.Iris < 1)
        {
            // An iris crops in the gate: what it leaves keeps its intensity, so the flux falls with the profile's solid angle.
            profile = profiles.Get(shape, zoom * v.Iris, zoom * v.Iris * ratio);
            flux *= open.CandelaPerLumen / profile.CandelaPerLumen;
        }

        if (v.Frost > 0)
        {
            var (b, tall) = (zoom * v.Iris, profile.UpBeamRadians);
            var frost = v.Frost * FrostDegrees * Angles.RadiansPerDegree;
            var wide = MathF.Sqrt((b * b) + (frost * frost));
            shape.Item2 = Trig.Tan(MathF.Sqrt((tall * tall) + (frost * frost)) / 2) / Trig.Tan(wide / 2);
            profile = profiles.Get(shape, wide, wide * (ratio + ((Math.Max(ratio, GaussianRatio) - ratio) * v.Frost)));
            flux *= 1 - (FrostLoss * v.Frost);
        }

        var (gobo, second, third) = v.Gobos.In(gobos.Count);
        state.BeamAngle = 2 * profile.HalfBeamRadians * (profile.Form == BeamForm.Round ? 1 : profile.Across.X);
        state.BeamAngleUp = profile.UpBeamRadians;
        beam = beam with
        {
            Profile = profile,
            Gobo = gobo,
            SecondGobo = second,
            ThirdGobo = third,
            Blades = v.Blades.Of(open, v.Focus > 0, Blur(v)),
            FluxLumens = flux,
        };
        state.Beams[0] = AtLens(beam, data);
        state.Count = v.Prisms.Split(state.Beams, pose.Position);
    }

    /// <summary>A beam that leaves its lens, in the middle of which its apex lies.</summary>
    private static Beam AtLens(in Beam beam, BeamData data) =>
        beam with { NearLength = NearField.Length(data.LensRadius, beam.Profile), NearSharpness = NearField.Sharpness(beam.Profile) };

    /// <summary>Half width by which frost softens the edges of blades, rad.</summary>
    private static float Blur(in EmitterValues v) => v.Frost * FrostDegrees * Angles.RadiansPerDegree / 2;
}
