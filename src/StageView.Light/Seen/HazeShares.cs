using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Seen;

/// <summary>
/// Light that haze scatters along one look, by fixture: the integral of <see cref="ReferenceRadiance"/> by midpoints at equal angles (Kulla and Fajardo 2012),
/// with shadows where a picture has them. Patches in the haze are read as their mean.
/// </summary>
internal sealed class HazeShares(Moment moment, OcclusionScene scene, LightMeter meter)
{
    private const int Points = 16;

    /// <summary>Points for a block of pixels: its light changes slowly along the look.</summary>
    private const int BlockPoints = 6;

    /// <summary>A flat surface is cut into so many blocks across and down, as a picture has it.</summary>
    private const int Blocks = 4;

    public void Add(in Leg leg, ShareSums sums)
    {
        if (moment.Haze.ScatteringPerMetre <= 0)
        {
            return;
        }

        foreach (ref readonly var beam in moment.Beams.Span)
        {
            sums.Add(beam.Fixture, FromBeam(leg, beam));
        }

        var surfaces = moment.PixelSurfaces.Span;
        for (var i = 0; i < surfaces.Length; i++)
        {
            if (meter.Sums[i] is { } pixels)
            {
                sums.Add(surfaces[i].Fixture, FromPixels(leg, surfaces[i], pixels));
            }
        }
    }

    private Vector3 FromBeam(in Leg leg, in Beam beam)
    {
        if (!RayInterval.TryFind(moment, NearField.Outer(beam), beam.Apex, leg.From, leg.Direction, leg.Length, out var from, out var to))
        {
            return Vector3.Zero;
        }

        var arc = new Arc(leg, beam.Apex, 1e-3f, (float)from, (float)to);
        var sum = Vector3.Zero;
        for (var k = 0; k < Points; k++)
        {
            var (t, r, _) = arc.At((k + .5f) / Points);
            var way = NearField.Way(beam, leg.At(t) - beam.Apex);
            var away = Vector3.Normalize(way);
            var lamp = beam.Profile.IsOmnidirectional;
            var candela = lamp && r < beam.StartDistance ? Vector3.Zero : BeamPhotometry.CandelaRgb(moment, beam, away, r);
            if (candela != Vector3.Zero && (lamp || UnfoldedPath.Clear(moment, scene, beam, leg.At(t))))
            {
                sum += candela * (r * r / way.LengthSquared()) * Scattered(leg, away, t, MathF.Max(0, r - beam.StartDistance));
            }
        }

        return sum * (arc.Angle / (Points * arc.D));
    }

    private Vector3 FromPixels(in Leg leg, in PixelSurface surface, SurfaceSums pixels)
    {
        if (surface.Shape == PixelShape.Globe)
        {
            var radius = surface.EdgeU.Length() / 2;
            return FromBlock(leg, surface.Origin, Vector3.Zero, MathF.PI * radius * radius, radius) * pixels.Mean(0, surface.Columns, 0, surface.Rows);
        }

        var (across, down) = (Math.Min(Blocks, surface.Columns), Math.Min(Blocks, surface.Rows));
        var area = Vector3.Cross(surface.EdgeU, surface.EdgeV).Length() * surface.Fill * surface.Fill / (across * down);
        var sum = Vector3.Zero;
        for (var v = 0; v < down; v++)
        {
            for (var u = 0; u < across; u++)
            {
                var light = pixels.Mean(u * surface.Columns / across, (u + 1) * surface.Columns / across, v * surface.Rows / down,
                    (v + 1) * surface.Rows / down);
                if (light != Vector3.Zero)
                {
                    var at = surface.Origin + (surface.EdgeU * ((u + .5f) / across)) + (surface.EdgeV * ((v + .5f) / down));
                    sum += light * FromBlock(leg, at, surface.FrontNormal, area, 0);
                }
            }
        }

        return sum;
    }

    /// <summary>Of 1 cd/m², cd/m²: a Lambertian block of some area, m², or a globe of some radius, m; nothing shades it.</summary>
    private float FromBlock(in Leg leg, Vector3 at, Vector3 front, float area, float radius)
    {
        var arc = new Arc(leg, at, MathF.Sqrt(radius > 0 ? radius * radius : area / MathF.PI), 0, leg.Length);
        var sum = 0f;
        for (var k = 0; k < BlockPoints; k++)
        {
            var (t, r, away) = arc.At((k + .5f) / BlockPoints);
            var cosine = front == Vector3.Zero ? 1 : Vector3.Dot(front, away);
            if (cosine > 0)
            {
                sum += cosine * Scattered(leg, away, t, MathF.Max(0, r - radius));
            }
        }

        return sum * area * arc.Angle / (BlockPoints * arc.D);
    }

    /// <summary>1/m/sr that is turned to the eye, and arrives there, of what comes along <paramref name="away"/>.</summary>
    private float Scattered(in Leg leg, Vector3 away, float t, float path) =>
        leg.Left * moment.Haze.ScatteringPerMetre * (float)ReferenceRadiance.Phase(moment.Haze.Anisotropy, -Vector3.Dot(away, leg.Direction))
        * meter.HazeOver(leg.Before + t + path);

    /// <summary>A stretch of a look as a source sees it: by equal angles its inverse square cancels.</summary>
    private readonly ref struct Arc
    {
        private readonly Vector3 _rel;
        private readonly Vector3 _direction;
        private readonly float _closest;
        private readonly float _first;

        /// <param name="leg">The look.</param>
        /// <param name="source">m.</param>
        /// <param name="soft">The source's own size, m: no nearer is it come to.</param>
        /// <param name="from">m along the look.</param>
        /// <param name="to">m along the look.</param>
        public Arc(in Leg leg, Vector3 source, float soft, float from, float to)
        {
            (_rel, _direction) = (leg.From - source, leg.Direction);
            _closest = -Vector3.Dot(_rel, _direction);
            var across = (_rel + (_direction * _closest)).LengthSquared();
            D = MathF.Sqrt(across + (soft * soft));
            _first = Trig.Atan2(from - _closest, D);
            Angle = Trig.Atan2(to - _closest, D) - _first;
        }

        /// <summary>Least distance, m.</summary>
        public float D { get; }

        /// <summary>rad.</summary>
        public float Angle { get; }

        /// <summary>A place at a share of the angle: m along the look, m from the source, and the way from it.</summary>
        public (float T, float R, Vector3 Away) At(float share)
        {
            var t = _closest + (D * Trig.Tan(_first + (Angle * share)));
            var away = _rel + (_direction * t);
            var r = MathF.Max(1e-4f, away.Length());
            return (t, r, away / r);
        }
    }
}
