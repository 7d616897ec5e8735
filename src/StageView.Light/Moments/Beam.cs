using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Photometry;

namespace StageView.Light.Moments;

/// <summary>
/// One cone of light at one instant. A reflected beam is a beam like any other: its apex is the image of the source
/// behind the mirror, and <see cref="Clip"/> is the mirror's outline it shines through.
/// </summary>
/// <remarks>
/// Intensity in a direction θ off the axis is <c>FluxLumens × Profile.CandelaPerLumen × f(θ)</c>, less what gobos and blades take off; illuminance falls with
/// the square of the distance from <see cref="Apex"/>, the middle of the lens, whatever the lens, with and without a photometric file. Near the lens its size
/// shows (<see cref="NearLength"/>). Light exists only beyond <see cref="StartDistance"/> along the axis, or beyond the clip's plane when there is one.
/// </remarks>
public readonly record struct Beam
{
    /// <summary>The fixture it comes from, or none.</summary>
    public FixtureIndex Fixture { get; init; }

    /// <summary>Which emitting geometry of the fixture this is, from 0.</summary>
    public int Emitter { get; init; }

    /// <summary>The beam before the last mirror, in <see cref="Moment.Beams"/>; none for a direct beam.</summary>
    public BeamIndex Parent { get; init; }

    /// <summary>Mirrors met so far, 0 for a direct beam.</summary>
    public int Bounces { get; init; }

    /// <summary>Where the mirrors met lie in <see cref="Moment.MirrorPaths"/>, first met first; <see cref="Bounces"/> of them.</summary>
    public int FirstPathMirror { get; init; }

    /// <summary>The photometric centre, m.</summary>
    public Vector3 Apex { get; init; }

    /// <summary>Unit vector along the beam.</summary>
    public Vector3 Axis { get; init; }

    /// <summary>Unit vector across the beam: its own +Y, what a gobo calls up.</summary>
    public Vector3 Up { get; init; }

    /// <summary>True after an odd number of mirrors: the beam's own +X is then -(Axis × Up) instead of Axis × Up.</summary>
    public bool Mirrored { get; init; }

    /// <summary>
    /// Luminous flux of the whole cone at this instant, before any clip, the blades and the gobo (which take their shares off
    /// direction by direction), lm; dimmer, colour, iris and reflectances already taken off.
    /// </summary>
    public float FluxLumens { get; init; }

    /// <summary>Chromaticity as linear Rec.709 (D65) with luminance 1; components may be negative outside the gamut.</summary>
    public Vector3 Colour { get; init; }

    public AngularProfile Profile { get; init; }

    /// <summary>Distance along the axis from the apex to where light begins, m; of a lamp that shines all round its radius.</summary>
    public float StartDistance { get; init; }

    /// <summary>Radius of the lens or exit aperture, m.</summary>
    public float ApertureRadius { get; init; }

    /// <summary>
    /// Distance from the lens at which the profile is as wide as it, m (<see cref="Beams.NearField"/>); 0 for a source that counts as a point.
    /// </summary>
    public float NearLength { get; init; }

    /// <summary>How gently the lens gives way to the profile, 0 (at once) to 1.</summary>
    public float NearSharpness { get; init; }

    /// <summary>Share of the flux per unit luminance carried past the mirrors met: the product of their reflectances, 1 for a direct beam.</summary>
    public float Throughput { get; init; }

    /// <summary>The outline that this beam shines through, in <see cref="Moment.Outlines"/>; empty for a direct beam.</summary>
    public Outline Clip { get; init; }

    public GoboState Gobo { get; init; }

    /// <summary>A second gobo in the same beam, only where there is a first.</summary>
    public GoboState SecondGobo { get; init; }

    /// <summary>A third, only where there is a second.</summary>
    public GoboState ThirdGobo { get; init; }

    /// <summary>Framing blades.</summary>
    public Blades Blades { get; init; }

    public PrismState Prism { get; init; }

    /// <summary>Distance at which the gobo is sharp, m from the lens; 0 means sharp everywhere.</summary>
    public float FocusDistance { get; init; }

    /// <summary>Frost inserted, 0 (none) to 1; widens the profile already, kept here because it also blurs the gobo.</summary>
    public float Frost { get; init; }

    /// <summary>Iris opening, 1 fully open; the profile is already narrowed by it, kept for the gobo's crop.</summary>
    public float Iris { get; init; }

    /// <summary>Axis intensity, cd.</summary>
    public float PeakCandela => FluxLumens * Profile.CandelaPerLumen;

    /// <summary>The beam's own +X: across the beam, right-handed before any mirror.</summary>
    public Vector3 Right => Mirrored ? -Vector3.Cross(Axis, Up) : Vector3.Cross(Axis, Up);
}
