using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Views;

/// <summary>
/// The lit lenses among the surfaces of a view: a disc's luminance is the beam's intensity towards the eye over the disc's area as seen from
/// there, and a little light that every lens scatters, so that a fixture is seen from the side too.
/// </summary>
internal sealed class LensCorners
{
    /// <summary>Share of a beam's flux that its lens scatters all round (Lambertian); common practice, no source.</summary>
    public const float Glow = 0.002f;

    private const int Sides = 12;
    private static readonly (float Sin, float Cos)[] s_rim = [.. Enumerable.Range(0, Sides + 1).Select(i => Trig.SinCos(2 * MathF.PI * i / Sides))];
    private readonly Growing<Corner> _corners = new();

    /// <summary>Three a triangle.</summary>
    public ReadOnlySpan<Corner> All => _corners.Span;

    public void Fill(Moment moment, View view)
    {
        _corners.Clear();
        var seen = new ViewVolume(view);
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (beam.Bounces == 0 && beam.ApertureRadius > 0 && !beam.Profile.IsOmnidirectional)
            {
                Add(moment, beam, view, seen);
            }
        }
    }

    private void Add(Moment moment, in Beam beam, View view, in ViewVolume seen)
    {
        var centre = beam.Apex + (beam.Axis * (beam.StartDistance + 1e-3f));
        var to = view.Eye - centre;
        var distance = to.Length();
        var cos = Vector3.Dot(to, beam.Axis) / distance;
        if (cos < 0.02f || distance < View.Near)
        {
            return;
        }

        // As large as a pixel at least, with the same light spread over it.
        var radius = MathF.Max(beam.ApertureRadius, 0.7f * view.PixelAngle * distance);
        if (!seen.MayHold(centre, radius))
        {
            return;
        }

        var area = MathF.PI * radius * radius;
        var towards = BeamPhotometry.CandelaRgb(moment, beam, Vector3.Normalize(view.Eye - beam.Apex));
        var light = ((towards / cos) + (beam.Colour * (beam.FluxLumens * Glow / MathF.PI))) / area;
        var side = Vector3.Cross(beam.Axis, beam.Up);
        for (var i = 0; i < Sides; i++)
        {
            _corners.Add(new Corner(centre, light, beam.Axis));
            _corners.Add(new Corner(Rim(beam, side, centre, radius, i), light, beam.Axis));
            _corners.Add(new Corner(Rim(beam, side, centre, radius, i + 1), light, beam.Axis));
        }
    }

    private static Vector3 Rim(in Beam beam, Vector3 side, Vector3 centre, float radius, int corner)
    {
        var (sin, cos) = s_rim[corner];
        return centre + (((beam.Up * cos) + (side * sin)) * radius);
    }

    public readonly record struct Corner(Vector3 Place, Vector3 Light, Vector3 Front);
}
