using System.Numerics;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Beams;

/// <summary>
/// What a lens of real size does to a beam near it. Stated figures are far-field figures about the lens's middle. Light at z metres along the axis comes as if
/// it were Z metres away, from a point behind the lens that moves up to it as z grows:
/// <code>
/// Z² = ½ (z² + s² + √((z² - s²)² + 4 e² z² s²))        s = <see cref="Beam.NearLength"/>, e = <see cref="Sharpness"/>
/// </code>
/// </summary>
/// <remarks>
/// The form is our own. It stands for the mean over a lens each point of which sends out the whole profile: at the lens the section is as large as the lens
/// (z = 0, Z = s), far away Z is z, at z = s the light on the axis is that mean, and no lumen is gained or lost at any distance, because
/// (x, y, z) to (x, y, Z) takes each plane's flux through the same directions. <c>shaders/include/beamlight.glsl</c> has its twin.
/// </remarks>
public static class NearField
{
    /// <summary>
    /// Distance from a lens, m, at which the profile is as wide as the lens: where intensity over square would say as much light on the axis as there is when
    /// all lumens are spread evenly over the lens, s = r √(π I / Φ).
    /// </summary>
    /// <param name="lensRadius">m.</param>
    /// <param name="profile">I / Φ is its <see cref="AngularProfile.CandelaPerLumen"/>.</param>
    public static float Length(float lensRadius, in AngularProfile profile) =>
        profile.IsOmnidirectional ? 0 : lensRadius * MathF.Sqrt(MathF.PI * profile.CandelaPerLumen);

    /// <summary>
    /// e: how gently the lens gives way to the profile, by the exponent p of its curve (of a web: the curve through its beam and field angle).
    /// e = (.965 + .25/p) / p, fitted to the mean of the curve over a disc as wide as it, within 1 % for p from 1.5 to 80.
    /// </summary>
    public static float Sharpness(in AngularProfile profile)
    {
        var p = profile.Exponent > 0 ? profile.Exponent
            : AngularProfile.FromBeamAndField(2 * profile.HalfBeamRadians, 2 * MathF.Max(profile.HalfFieldRadians, profile.HalfBeamRadians)).Exponent;
        return MathF.Min(1, (0.965f + (0.25f / p)) / p);
    }

    /// <summary>How far away light seems to come from along the axis, m, some metres along it from the lens; never less than that.</summary>
    /// <param name="beam">The beam.</param>
    /// <param name="along">m, from <see cref="Beam.Apex"/>, at least 0.</param>
    public static float Seeming(in Beam beam, float along)
    {
        if (beam.NearLength <= 0)
        {
            return along;
        }

        double z = (double)along * along, s = (double)beam.NearLength * beam.NearLength;
        double e = beam.NearSharpness;
        return (float)Math.Sqrt(0.5 * (z + s + Math.Sqrt(((z - s) * (z - s)) + (4 * e * e * z * s))));
    }

    /// <summary>The way from where light seems to come from to a point that lies <c>to</c> from the apex, m.</summary>
    public static Vector3 Way(in Beam beam, Vector3 to)
    {
        if (beam.NearLength <= 0)
        {
            return to;
        }

        var along = Vector3.Dot(to, beam.Axis);
        return to + (beam.Axis * (Seeming(beam, MathF.Max(0, along)) - along));
    }

    /// <summary>
    /// A beam from a point, farther behind the lens, whose cone holds all of this one's light: for asking where light can't be.
    /// </summary>
    public static Beam Outer(in Beam beam) => beam.NearLength <= 0 ? beam : beam with
    {
        Apex = beam.Apex - (beam.Axis * beam.NearLength),
        StartDistance = beam.StartDistance + beam.NearLength,
        NearLength = 0,
    };
}
