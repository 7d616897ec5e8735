using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Beams;

/// <summary>Intensity of a beam in a direction.</summary>
public static class BeamPhotometry
{
    /// <summary>
    /// Intensity relative to the axis (a web: relative to its peak) towards a unit direction, blades counted, gobo left out. A web's polar
    /// angle runs from the beam's axis, its azimuth from <see cref="Beam.Right"/> towards <see cref="Beam.Up"/>.
    /// </summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="beam">The beam.</param>
    /// <param name="direction">From its apex, of unit length.</param>
    /// <param name="distance">From its apex, m, for the focus of its blades; far away when left out.</param>
    public static float Relative(Moment moment, in Beam beam, Vector3 direction, float distance = float.PositiveInfinity)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var open = OfLamp(moment, beam, direction);
        return beam.Blades.Count == 0 || open <= 0 ? open : open * BladeSampling.Transmission(beam, direction, distance);
    }

    private static float OfLamp(Moment moment, in Beam beam, Vector3 direction)
    {
        var cos = Vector3.Dot(direction, beam.Axis);
        var web = beam.Profile.Web;
        var measured = !web.IsNone && web.Value < moment.Webs.Count;
        if (beam.Profile.Form != BeamForm.Round && !measured)
        {
            return beam.Profile.Towards(Vector3.Dot(direction, beam.Right), Vector3.Dot(direction, beam.Up), cos);
        }

        var across = Vector3.Cross(direction, beam.Axis).Length();
        var theta = Trig.Atan2(across, cos);
        if (!measured)
        {
            return beam.Profile.At(theta);
        }

        if (theta > beam.Profile.CutoffRadians)
        {
            return 0;
        }

        var azimuth = Trig.Atan2(Vector3.Dot(direction, beam.Up), Vector3.Dot(direction, beam.Right));
        return (float)moment.Webs[web.Value].At(theta, azimuth);
    }

    /// <summary>Intensity towards a unit direction through the gobo (its luminance transmission), cd.</summary>
    /// <inheritdoc cref="Relative" path="/param"/>
    public static float Candela(Moment moment, in Beam beam, Vector3 direction, float distance = float.PositiveInfinity)
    {
        var relative = Relative(moment, beam, direction, distance);
        if (relative <= 0)
        {
            return 0;
        }

        var gobo = GoboSampling.Transmission(moment, beam, direction);
        return beam.PeakCandela * relative * Luminance(gobo * beam.Colour);
    }

    /// <summary>Intensity towards a unit direction as linear Rec.709, cd.</summary>
    /// <inheritdoc cref="Relative" path="/param"/>
    public static Vector3 CandelaRgb(Moment moment, in Beam beam, Vector3 direction, float distance = float.PositiveInfinity)
    {
        var relative = Relative(moment, beam, direction, distance);
        return relative <= 0
            ? Vector3.Zero
            : beam.PeakCandela * relative * GoboSampling.Transmission(moment, beam, direction) * beam.Colour;
    }

    /// <summary>Luminance of linear Rec.709: .2126 R + .7152 G + .0722 B (ITU-R BT.709).</summary>
    public static float Luminance(Vector3 rgb) => (0.2126f * rgb.X) + (0.7152f * rgb.Y) + (0.0722f * rgb.Z);

    /// <summary>
    /// Distance along a unit direction from the apex to where the light begins: the lens plane, or for an
    /// omnidirectional source the sphere of the start distance.
    /// </summary>
    public static float StartAlong(in Beam beam, Vector3 direction)
    {
        if (beam.StartDistance <= 0)
        {
            return 0;
        }

        return beam.Profile.IsOmnidirectional ? beam.StartDistance : beam.StartDistance / MathF.Max(1e-3f, Vector3.Dot(direction, beam.Axis));
    }
}
