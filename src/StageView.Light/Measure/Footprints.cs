using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Measure;

/// <summary>Works out footprints.</summary>
public static class Footprints
{
    private const int Rim = 96;
    private const int NearSteps = 6;

    /// <summary>
    /// The footprint of a beam on the plane of its landing, cut by its blades where they let half through. Scenery that stands in the cone beside the axis is
    /// not cut out.
    /// </summary>
    public static Footprint Of(LightMeter meter, in Landing landing)
    {
        ArgumentNullException.ThrowIfNull(meter);
        var moment = meter.Moment;
        var beam = moment[landing.Beam];
        var half = Math.Min(beam.Profile.HalfFieldRadians, beam.Profile.CutoffRadians);
        var distance = NearField.Way(beam, landing.Point - beam.Apex).Length();
        var cone = beam.Profile.IsOmnidirectional || half > 80 * Angles.RadiansPerDegree ? 0 : Trig.Tan(half);
        var rim = cone > 0 ? RimOf(moment, beam, half) : [];
        var outline = OnPlane(beam, landing, rim);
        var (area, length, width) = Extents(outline, landing.Normal);
        var plain = beam.Profile.Form == BeamForm.Round && beam.Blades.Count == 0;
        var flux = rim.Length < 3 ? 0 : plain ? BeamFlux.Passing(moment, beam, half) : BeamFlux.Through(moment, beam, rim, beam.Profile.CutoffRadians);
        return new Footprint
        {
            Outline = outline,
            Area = area,
            Length = length,
            Width = width,
            SpotAtBeamAngle = cone > 0 ? 2 * distance * Trig.Tan(MathF.Min(beam.Profile.HalfBeamRadians, 1.5f)) : 0,
            SpotAtFieldAngle = 2 * distance * cone,
            MeanLux = area > 0 ? (float)(flux / area) * meter.HazeOver(landing.ThrowMetres) : 0,
        };
    }

    /// <summary>The field's rim on the plane at unit distance from the apex, cut by blades and the mirrors' outlines.</summary>
    private static Vector3[] RimOf(Moment moment, in Beam beam, float half)
    {
        Span<Vector3> rim = new Vector3[256];
        Span<Vector3> spare = new Vector3[256];
        var side = -Vector3.Cross(beam.Axis, beam.Up);
        var profile = beam.Profile;
        for (var i = 0; i < Rim; i++)
        {
            // Counter-clockwise seen against the axis, like every window.
            var (sin, cos) = Trig.SinCos(i * MathF.Tau / Rim);
            var at = profile.Form switch
            {
                BeamForm.Round => new Vector2(cos, sin) * Trig.Tan(half),
                BeamForm.Ellipse => new Vector2(cos, sin) * Trig.Tan(half / (new Vector2(cos, sin) / profile.Across).Length()),
                _ => new Vector2(Trig.Tan(half * profile.Across.X), Trig.Tan(half * profile.Across.Y))
                    * (new Vector2(cos, sin) / MathF.Max(MathF.Abs(cos), MathF.Abs(sin))),
            };
            rim[i] = beam.Apex + beam.Axis + (side * at.X) + (beam.Up * at.Y);
        }

        var count = Rim;
        for (var i = 0; i < beam.Blades.Count; i++)
        {
            var blade = beam.Blades[i];
            var inside = (beam.Axis * blade.Z) - (beam.Right * blade.X) - (beam.Up * blade.Y);
            count = ConvexClip.ByPlane(rim[..count], inside, -Vector3.Dot(inside, beam.Apex), spare);
            spare[..count].CopyTo(rim);
        }

        if (beam.Bounces > 0)
        {
            count = ConvexClip.ByPyramid(rim, count, beam.Apex, moment.OutlineOf(beam.Clip), spare);
        }

        return rim[..count].ToArray();
    }

    private static Vector3[] OnPlane(in Beam beam, in Landing landing, Vector3[] rim)
    {
        var points = new Vector3[rim.Length];
        for (var i = 0; i < points.Length; i++)
        {
            var direction = rim[i] - beam.Apex;
            var along = Vector3.Dot(direction, landing.Normal);
            var from = beam.Apex;
            for (var step = 0; ; step++)
            {
                var t = Vector3.Dot(landing.Point - from, landing.Normal) / along;
                if (along > -1e-4f || !(t * direction.Length() < Landings.FarLimit))
                {
                    return [];
                }

                points[i] = from + (direction * t);
                if (step == NearSteps || beam.NearLength <= 0)
                {
                    break;
                }

                // Near the lens light comes from behind it, the nearer the farther.
                var z = MathF.Max(0, Vector3.Dot(points[i] - beam.Apex, beam.Axis));
                from = beam.Apex - (beam.Axis * (NearField.Seeming(beam, z) - z));
            }
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
