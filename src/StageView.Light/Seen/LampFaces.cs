using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Seen;

/// <summary>What shines by itself at the end of a look: lenses, globes and surfaces of pixels.</summary>
internal sealed class LampFaces(Moment moment, LightMeter meter)
{
    /// <summary>Share of a beam's flux that its lens scatters all round (Lambertian); common practice, no source. A picture's lenses have it, too.</summary>
    private const float Glow = 0.002f;

    /// <summary>How far a face may lie behind what it is mounted on and is still seen, m.</summary>
    private const float Slack = .02f;

    /// <summary>The first one that a look meets, and its luminance there, cd/m²; null for none.</summary>
    /// <param name="leg">The look.</param>
    /// <param name="until">m along the look.</param>
    public (FixtureIndex Fixture, Vector3 Light, bool IsLens)? First(in Leg leg, out float until)
    {
        (FixtureIndex, Vector3, bool)? first = null;
        until = leg.Length + Slack;
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (beam.Bounces == 0 && beam.ApertureRadius > 0 && !beam.Profile.IsOmnidirectional && Lens(leg, beam, ref until) is { } light)
            {
                first = (beam.Fixture, light, true);
            }
        }

        var surfaces = moment.PixelSurfaces.Span;
        for (var i = 0; i < surfaces.Length; i++)
        {
            ref readonly var surface = ref surfaces[i];
            if (surface.Columns > 0 && surface.Rows > 0
                && (surface.Shape == PixelShape.Globe ? Globe(leg, surface, ref until) : Flat(leg, i, surface, ref until)) is { } light)
            {
                first = (surface.Fixture, light, false);
            }
        }

        return first;
    }

    private Vector3? Lens(in Leg leg, in Beam beam, ref float until)
    {
        var centre = beam.Apex + (beam.Axis * (beam.StartDistance + 1e-3f));
        var along = -Vector3.Dot(leg.Direction, beam.Axis);
        var to = leg.Eye - centre;
        var distance = to.Length();
        var cos = Vector3.Dot(to, beam.Axis) / distance;
        if (along < .02f || cos < .02f)
        {
            return null;
        }

        var t = Vector3.Dot(leg.From - centre, beam.Axis) / along;
        var radius = MathF.Max(beam.ApertureRadius, .7f * leg.Wide * distance);
        if (t <= 0 || t >= until || Vector3.DistanceSquared(leg.At(t), centre) > radius * radius)
        {
            return null;
        }

        until = t;
        var towards = BeamPhotometry.CandelaRgb(moment, beam, Vector3.Normalize(leg.Eye - beam.Apex));
        return ((towards / cos) + (beam.Colour * (beam.FluxLumens * Glow / MathF.PI))) / (MathF.PI * radius * radius);
    }

    private Vector3? Globe(in Leg leg, in PixelSurface globe, ref float until)
    {
        var radius = globe.EdgeU.Length() / 2;
        var to = leg.From - globe.Origin;
        var b = Vector3.Dot(to, leg.Direction);
        var disc = (b * b) - to.LengthSquared() + (radius * radius);
        var t = disc < 0 ? 0 : -b - MathF.Sqrt(disc);
        if (t <= 0 || t >= until)
        {
            return null;
        }

        until = t;
        return moment.Pixels.Span[globe.FirstPixel];
    }

    private Vector3? Flat(in Leg leg, int index, in PixelSurface flat, ref float until)
    {
        var front = flat.FrontNormal;
        var along = -Vector3.Dot(leg.Direction, front);
        if (along <= 1e-4f)
        {
            return null;
        }

        var t = Vector3.Dot(leg.From - flat.Origin, front) / along;
        var rel = leg.At(t) - flat.Origin;
        var u = Vector3.Dot(rel, flat.EdgeU) / flat.EdgeU.LengthSquared();
        var v = Vector3.Dot(rel, flat.EdgeV) / flat.EdgeV.LengthSquared();
        if (t <= 0 || t >= until || u is < 0 or >= 1 || v is < 0 or >= 1)
        {
            return null;
        }

        until = t;
        if (meter.Sums[index] is not { } pixels)
        {
            return Vector3.Zero;
        }

        // The pixels that one picture element covers, as their mean.
        var half = leg.Wide * (leg.Before + t) / 2;
        var (c0, c1) = Span(u, half / flat.EdgeU.Length(), flat.Columns);
        var (r0, r1) = Span(v, half / flat.EdgeV.Length(), flat.Rows);
        return pixels.Mean(c0, c1, r0, r1) * (flat.Fill * flat.Fill);
    }

    private static (int First, int End) Span(float at, float half, int pixels)
    {
        var first = Math.Clamp((int)((at - half) * pixels), 0, pixels - 1);
        return (first, Math.Clamp((int)MathF.Ceiling((at + half) * pixels), first + 1, pixels));
    }
}
