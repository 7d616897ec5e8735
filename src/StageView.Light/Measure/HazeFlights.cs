using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Sampling;

namespace StageView.Light.Measure;

/// <summary>
/// Where light goes that haze has scattered at least once: packets out of every beam and pixel surface, each scattered in turn at a place by Beer and
/// Lambert's law on the way to what it meets, into a direction of Henyey and Greenstein's, with the share that is scattered there as its weight, so that
/// none ends by chance. The same moment gives the same flights. Surfaces and mirrors take what arrives.
/// </summary>
public sealed class HazeFlights
{
    /// <summary>Packets of all sources together, about.</summary>
    private const int Packets = 100_000;

    private const int LeastPackets = 32;

    /// <summary>How often a packet is scattered.</summary>
    private const int Orders = 4;

    /// <summary>Around scenery and lenses, m: what leaves it is lost.</summary>
    private const float Margin = 2;

    private readonly Flight[] _all;

    private HazeFlights(Haze haze, Flight[] all, Vector3 low, Vector3 high) => (Haze, _all, Low, High) = (haze, all, low, high);

    /// <summary>The haze.</summary>
    public Haze Haze { get; }

    /// <summary>Corner of all that is looked at, m.</summary>
    public Vector3 Low { get; }

    /// <summary>The other corner, m.</summary>
    public Vector3 High { get; }

    internal ReadOnlySpan<Flight> All => _all;

    /// <summary>Of a moment, or null where its haze has no fill.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="scene">Its obstacles.</param>
    public static HazeFlights? Of(Moment moment, OcclusionScene scene)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(scene);
        if (!moment.Haze.Fill || moment.Haze.ScatteringPerMetre <= 0)
        {
            return null;
        }

        var box = Around(moment);
        var sources = Sources(moment);
        var all = sources.Sum(s => s.Lumens);
        var flights = new Flight[sources.Count][];
        Parallel.For(0, sources.Count, i =>
        {
            var count = Math.Max(LeastPackets, (int)(Packets * sources[i].Lumens / all));
            flights[i] = [.. Follow(moment, scene, box, sources[i], i, count)];
        });
        return new HazeFlights(moment.Haze, [.. flights.SelectMany(f => f)], box.Min, box.Max);
    }

    private static Box Around(Moment moment)
    {
        var box = Box.Empty;
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (beam.Bounces == 0)
            {
                box.Include(beam.Apex);
            }
        }

        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            box.Include(surface.Origin);
        }

        // Far scenery, such as ground to the horizon, counts as far as light matters.
        var (least, most) = (box.Min - new Vector3(30), box.Max + new Vector3(30));
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            if ((uint)piece.Mesh.Value >= (uint)moment.Meshes.Count)
            {
                continue;
            }

            var bounds = MeshTree.Of(moment.Meshes[piece.Mesh.Value]).Bounds;
            for (var k = 0; k < 8; k++)
            {
                var corner = new Vector3(
                    (k & 1) == 0 ? bounds.Min.X : bounds.Max.X, (k & 2) == 0 ? bounds.Min.Y : bounds.Max.Y, (k & 4) == 0 ? bounds.Min.Z : bounds.Max.Z);
                box.Include(Vector3.Clamp(piece.Pose.TransformPoint(corner * piece.Scale), least, most));
            }
        }

        return new Box { Min = box.Min - new Vector3(Margin), Max = box.Max + new Vector3(Margin) };
    }

    private static List<Source> Sources(Moment moment)
    {
        var list = new List<Source>();
        for (var i = 0; i < moment.Beams.Length; i++)
        {
            var beam = moment.Beams.Span[i];
            list.Add(new Source(new BeamIndex(i), null, default, beam.FluxLumens * BeamPhotometry.Luminance(beam.Colour)));
        }

        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            var mean = Vector3.Zero;
            foreach (var pixel in moment.Pixels.Span.Slice(surface.FirstPixel, surface.Columns * surface.Rows))
            {
                mean += pixel / (surface.Columns * surface.Rows);
            }

            var radius = surface.EdgeU.Length() / 2;
            var area = surface.Shape == PixelShape.Globe ? 4 * MathF.PI * radius * radius
                : Vector3.Cross(surface.EdgeU, surface.EdgeV).Length() * surface.Fill * surface.Fill;
            if (mean != Vector3.Zero)
            {
                list.Add(new Source(BeamIndex.None, surface, mean * (MathF.PI * area), BeamPhotometry.Luminance(mean) * MathF.PI * area));
            }
        }

        return list;
    }

    private static IEnumerable<Flight> Follow(Moment moment, OcclusionScene scene, Box box, Source source, int number, int count)
    {
        var (haze, k) = (moment.Haze, 0);
        foreach (var (start, along, lumens, reach) in Leave(moment, scene, source, number, count))
        {
            var chance = new Chance(number, k++);
            var (from, direction, flux, length) = (start, along, lumens, MathF.Min(reach, Inside(box, start, along)));
            for (var order = 0; order < Orders && length > 0; order++)
            {
                var taken = 1 - MathF.Exp(-haze.ExtinctionPerMetre * length);
                if (order > 0)
                {
                    yield return new Flight(from, direction, length, flux, source.Beam);
                }

                from += direction * (-MathF.Log(1 - (taken * chance.Next())) / haze.ExtinctionPerMetre);
                direction = Scattered(direction, haze.Anisotropy, chance.Next(), chance.Next());
                flux *= taken * haze.Albedo;
                length = scene.Closest(from, direction, Landings.FarLimit, FixtureIndex.None, out var hit) ? hit.Distance : Landings.FarLimit;
                length = MathF.Min(length, Inside(box, from, direction));
            }
        }
    }

    private static IEnumerable<(Vector3 From, Vector3 Direction, Vector3 Flux, float Reach)> Leave(
        Moment moment, OcclusionScene scene, Source source, int number, int count)
    {
        if (source.Surface is not { } surface)
        {
            var beam = moment[source.Beam];
            foreach (var pencil in BeamPencils.Of(moment, scene, beam, BeamPencils.Even(moment, beam, count)))
            {
                yield return (pencil.Origin, pencil.Direction, pencil.Candela * (float)pencil.Weight, pencil.Length);
            }

            yield break;
        }

        var globe = surface.Shape == PixelShape.Globe;
        for (var i = 0; i < count; i++)
        {
            var (a, b) = (Sobol.At(i, 3, Sobol.Shift(number, 3)), Sobol.At(i, 4, Sobol.Shift(number, 4)));
            var (sin, cos) = Trig.SinCos(a * MathF.Tau);
            var z = (2 * b) - 1;
            var normal = globe ? new Vector3(cos * MathF.Sqrt(1 - (z * z)), sin * MathF.Sqrt(1 - (z * z)), z) : surface.FrontNormal;
            var from = globe ? surface.Origin + (normal * surface.EdgeU.Length() / 2) : surface.Origin + (surface.EdgeU * a) + (surface.EdgeV * b);
            var direction = Cosine(normal, Sobol.At(i, 5, Sobol.Shift(number, 5)), Sobol.At(i, 6, Sobol.Shift(number, 6)));
            from += normal * LightMeter.Lift;
            var reach = scene.Closest(from, direction, Landings.FarLimit, surface.Fixture, out var hit) ? hit.Distance : Landings.FarLimit;
            yield return (from, direction, source.Flux / count, reach);
        }
    }

    /// <summary>A direction about a normal as often as its cosine says.</summary>
    private static Vector3 Cosine(Vector3 normal, float a, float b) => About(normal, MathF.Sqrt(1 - b), a);

    /// <summary>The inverse of Henyey and Greenstein's distribution (Astrophysical Journal 93, 70, 1941).</summary>
    private static Vector3 Scattered(Vector3 direction, float g, float a, float b)
    {
        var part = (1 - (g * g)) / (1 - g + (2 * g * b));
        var cosine = MathF.Abs(g) < 1e-3f ? 1 - (2 * b) : (1 + (g * g) - (part * part)) / (2 * g);
        return About(direction, Math.Clamp(cosine, -1, 1), a);
    }

    private static Vector3 About(Vector3 axis, float cosine, float turn)
    {
        var u = Vector3.Normalize(Vector3.Cross(axis, MathF.Abs(axis.Z) < 0.9f ? Vector3.UnitZ : Vector3.UnitX));
        var (sin, cos) = Trig.SinCos(turn * MathF.Tau);
        return Vector3.Normalize((axis * cosine) + (((u * cos) + (Vector3.Cross(axis, u) * sin)) * MathF.Sqrt(MathF.Max(0, 1 - (cosine * cosine)))));
    }

    /// <summary>How far a ray stays in the box, m.</summary>
    private static float Inside(in Box box, Vector3 from, Vector3 direction)
    {
        var most = float.MaxValue;
        for (var axis = 0; axis < 3; axis++)
        {
            var d = direction[axis];
            most = d > 1e-6f ? MathF.Min(most, (box.Max[axis] - from[axis]) / d) : d < -1e-6f ? MathF.Min(most, (box.Min[axis] - from[axis]) / d) : most;
        }

        return MathF.Max(0, most);
    }

    /// <param name="Beam">Which beam, or none.</param>
    /// <param name="Surface">Which pixel surface, or null.</param>
    /// <param name="Flux">Of a surface, linear Rec.709, lm.</param>
    /// <param name="Lumens">lm.</param>
    private readonly record struct Source(BeamIndex Beam, PixelSurface? Surface, Vector3 Flux, float Lumens);

    /// <summary>Numbers of one packet, 0 to below 1: of Sobol's sequence for the first place and direction, mixed after.</summary>
    private struct Chance(int source, int packet)
    {
        private int _dimension;

        public float Next()
        {
            var d = _dimension++;
            return d < 3 ? Sobol.At(packet, d, Sobol.Shift(source, d)) : (Sobol.Shift((source * 65_537) + packet, d) >> 8) * (1f / (1 << 24));
        }
    }
}

/// <summary>A stretch that scattered light flies.</summary>
/// <param name="From">m.</param>
/// <param name="Direction">Unit.</param>
/// <param name="Length">To what it meets, m.</param>
/// <param name="Flux">At its start, linear Rec.709, lm.</param>
/// <param name="Beam">The beam that it came from, or none.</param>
internal readonly record struct Flight(Vector3 From, Vector3 Direction, float Length, Vector3 Flux, BeamIndex Beam);
