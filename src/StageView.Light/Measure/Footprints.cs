using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Measure;

/// <summary>Works out footprints.</summary>
public static class Footprints
{
    private const int Rim = 96;

    /// <summary>The footprint of a beam on the plane of its landing. Scenery that stands in the cone beside the axis is not cut out.</summary>
    public static Footprint Of(LightMeter meter, in Landing landing)
    {
        ArgumentNullException.ThrowIfNull(meter);
        var moment = meter.Moment;
        var beam = moment[landing.Beam];
        var half = Math.Min(beam.Profile.HalfFieldRadians, beam.Profile.CutoffRadians);
        var distance = Vector3.Distance(landing.Point, beam.Apex);
        var cone = beam.Profile.IsOmnidirectional || half > 80 * Angles.RadiansPerDegree ? 0 : MathF.Tan(half);
        var outline = cone > 0 ? OnPlane(moment, beam, landing, cone) : [];
        var (area, length, width) = Extents(outline, landing.Normal);
        var flux = cone > 0 ? BeamFlux.Passing(moment, beam, half) : 0;
        return new Footprint
        {
            Outline = outline,
            Area = area,
            Length = length,
            Width = width,
            SpotAtBeamAngle = cone > 0 ? 2 * distance * MathF.Tan(MathF.Min(beam.Profile.HalfBeamRadians, 1.5f)) : 0,
            SpotAtFieldAngle = 2 * distance * cone,
            MeanLux = area > 0 ? (float)(flux / area) * meter.HazeOver(landing.ThrowMetres) : 0,
        };
    }

    private static Vector3[] OnPlane(Moment moment, in Beam beam, in Landing landing, float tan)
    {
        Span<Vector3> rim = new Vector3[256];
        Span<Vector3> spare = new Vector3[256];
        for (var i = 0; i < Rim; i++)
        {
            // Counter-clockwise seen against the axis, like every window.
            var (sin, cos) = MathF.SinCos(i * MathF.Tau / Rim);
            rim[i] = beam.Apex + beam.Axis + (Vector3.Cross(beam.Axis, beam.Up) * (-tan * cos)) + (beam.Up * (tan * sin));
        }

        var count = Rim;
        if (beam.Bounces > 0)
        {
            count = ConvexClip.ByPyramid(rim, count, beam.Apex, moment.OutlineOf(beam.Clip), spare);
        }

        var points = new Vector3[count];
        for (var i = 0; i < count; i++)
        {
            var direction = rim[i] - beam.Apex;
            var along = Vector3.Dot(direction, landing.Normal);
            var t = Vector3.Dot(landing.Point - beam.Apex, landing.Normal) / along;
            if (along > -1e-4f || !(t * direction.Length() < Landings.FarLimit))
            {
                return [];
            }

            points[i] = beam.Apex + (direction * t);
        }

        return points;
    }

    private static (float Area, float Length, float Width) Extents(Vector3[] outline, Vector3 normal)
    {
        if (outline.Length < 3)
        {
            return default;
        }

        var sum = Vector3.Zero;
        var (length, along) = (0f, Vector3.Zero);
        for (var i = 0; i < outline.Length; i++)
        {
            sum += Vector3.Cross(outline[i] - outline[0], outline[(i + 1) % outline.Length] - outline[0]);
            for (var j = i + 1; j < outline.Length; j++)
            {
                var d = Vector3.Distance(outline[i], outline[j]);
                if (d > length)
                {
                    (length, along) = (d, (outline[j] - outline[i]) / d);
                }
            }
        }

        var side = Vector3.Cross(normal, along);
        var (low, high) = (float.MaxValue, float.MinValue);
        foreach (var p in outline)
        {
            var x = Vector3.Dot(p, side);
            (low, high) = (MathF.Min(low, x), MathF.Max(high, x));
        }

        return (sum.Length() / 2, length, high - low);
    }
}
