using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Light.Measure;

/// <content>Pixel surfaces as area lights.</content>
public sealed partial class LightMeter
{
    /// <summary>
    /// Blocks of a surface are taken as points while their side is below this share of the distance: error below .5 % where a block is evenly bright.
    /// </summary>
    internal const float BlockShare = 0.12f;

    private const int MostBlocks = 96;

    /// <summary>
    /// Sums of each surface's pixels; null where a surface is dark or its light is a beam's already, none at all when surfaces aren't counted.
    /// </summary>
    internal ReadOnlySpan<SurfaceSums?> Sums => _surfaces;

    private SurfaceSums?[] SumSurfaces()
    {
        var surfaces = _moment.PixelSurfaces.Span;
        var sums = new SurfaceSums?[surfaces.Length];
        for (var i = 0; i < surfaces.Length; i++)
        {
            if (surfaces[i].Columns > 0 && surfaces[i].Rows > 0 && !IsLampInside(_moment, surfaces[i]))
            {
                var s = new SurfaceSums(surfaces[i], _moment.Pixels.Span);
                sums[i] = s.Total == Vector3.Zero ? null : s;
            }
        }

        return sums;
    }

    /// <summary>A globe is in the moment twice, as a glowing sphere to be seen and as an omnidirectional beam that lights: the beam counts.</summary>
    internal static bool IsLampInside(Moment moment, in PixelSurface surface)
    {
        if (surface.Shape == PixelShape.Globe)
        {
            foreach (ref readonly var b in moment.Beams.Span)
            {
                if (b.Bounces == 0 && b.Fixture == surface.Fixture && b.Profile.IsOmnidirectional
                    && Vector3.Distance(b.Apex, surface.Origin) < surface.EdgeU.Length() / 2)
                {
                    return true;
                }
            }
        }

        return false;
    }

    private void GatherSurfaces<TReceiver>(Vector3 point, in TReceiver receiver, ref Illuminance sum)
        where TReceiver : struct, IReceiver
    {
        var surfaces = _moment.PixelSurfaces.Span;
        for (var i = 0; i < surfaces.Length; i++)
        {
            var rgb = FromSurface(i, point, receiver);
            if (rgb != Vector3.Zero)
            {
                sum = sum.Plus(rgb, LightKind.Surface);
            }
        }
    }

    /// <summary>Illuminance of a plane from one pixel surface, linear Rec.709 in lx; zero where it is dark or its light is a beam's already.</summary>
    internal Vector3 FromSurface(int surface, Vector3 point, Vector3 normal) => FromSurface(surface, point, new PlaneReceiver(normal));

    private Vector3 FromSurface<TReceiver>(int surface, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        if (_surfaces[surface] is not { } sums)
        {
            return Vector3.Zero;
        }

        ref readonly var pixels = ref _moment.PixelSurfaces.Span[surface];
        return pixels.Shape == PixelShape.Globe ? FromGlobe(pixels, sums, point, receiver) : FromFlat(pixels, sums, point, receiver);
    }

    private Vector3 FromGlobe<TReceiver>(in PixelSurface globe, SurfaceSums sums, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver =>
        sums.Mean(0, globe.Columns, 0, globe.Rows) * GlobeWeight(globe, point, receiver);

    /// <summary>
    /// What 1 cd/m² of a globe gives a receiver, lx: an evenly bright ball of luminance L and radius R gives E = L·π·R²/d² on a plane that faces its centre
    /// (Lambert's law; exact for a plane that sees all of it).
    /// </summary>
    internal float GlobeWeight<TReceiver>(in PixelSurface globe, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var to = globe.Origin - point;
        var distance = to.Length();
        var radius = globe.EdgeU.Length() / 2;
        if (distance <= radius)
        {
            return 0;
        }

        var towards = to / distance;
        var weight = receiver.Weight(towards);
        return weight <= 0 || (_scene?.Blocked(point + (receiver.Normal * Lift), point + (towards * (distance - radius)), globe.Fixture) ?? false)
            ? 0
            : MathF.PI * radius * radius / (distance * distance) * weight * HazeOver(distance - radius);
    }

    private Vector3 FromFlat<TReceiver>(in PixelSurface flat, SurfaceSums sums, Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver
    {
        var taker = new SumTaker { Sums = sums };
        VisitBlocks(flat, point, receiver, BlockShare, ref taker);
        return taker.Sum;
    }

    /// <summary>Goes over the blocks of a flat surface that light a receiver.</summary>
    /// <param name="flat">The surface.</param>
    /// <param name="point">m.</param>
    /// <param name="receiver">What is lit.</param>
    /// <param name="share">A block's side is below this share of the distance.</param>
    /// <param name="taker">Told each block that is wanted and seen, with what 1 cd/m² of it gives, lx.</param>
    internal void VisitBlocks<TReceiver, TTaker>(in PixelSurface flat, Vector3 point, in TReceiver receiver, float share, ref TTaker taker)
        where TReceiver : struct, IReceiver
        where TTaker : struct, IBlockTaker
    {
        var front = flat.FrontNormal;
        if (Vector3.Dot(point - flat.Origin, front) <= 0)
        {
            return;
        }

        var (lengthU, lengthV) = (flat.EdgeU.Length(), flat.EdgeV.Length());
        var near = MathF.Max(1e-3f, Nearest(flat, lengthU, lengthV, point));
        var blocksU = Blocks(lengthU / (share * near), flat.Columns);
        var blocksV = Blocks(lengthV / (share * near), flat.Rows);
        var area = Vector3.Cross(flat.EdgeU, flat.EdgeV).Length() * flat.Fill * flat.Fill;
        for (var v = 0; v < blocksV; v++)
        {
            var (r0, r1, fromV, toV) = Cut(v, blocksV, flat.Rows);
            for (var u = 0; u < blocksU; u++)
            {
                var (c0, c1, fromU, toU) = Cut(u, blocksU, flat.Columns);
                if (!taker.Wants(c0, c1, r0, r1))
                {
                    continue;
                }

                var from = flat.Origin + (flat.EdgeU * ((fromU + toU) / 2)) + (flat.EdgeV * ((fromV + toV) / 2));
                var to = from - point;
                var square = to.LengthSquared();
                var distance = MathF.Sqrt(square);
                var towards = to / distance;
                var weight = receiver.Weight(towards) * -Vector3.Dot(towards, front);
                if (weight <= 0 || (_scene?.Blocked(point + (receiver.Normal * Lift), from + (front * Lift), flat.Fixture) ?? false))
                {
                    continue;
                }

                taker.Take(c0, c1, r0, r1, area * (toU - fromU) * (toV - fromV) * weight / square * HazeOver(distance));
            }
        }
    }

    /// <summary>Adds up blocks as bright as their pixels are.</summary>
    private struct SumTaker : IBlockTaker
    {
        private Vector3 _luminance;

        public required SurfaceSums Sums { get; init; }

        public Vector3 Sum { get; private set; }

        public bool Wants(int c0, int c1, int r0, int r1)
        {
            _luminance = Sums.Mean(c0, c1, r0, r1);
            return _luminance != Vector3.Zero;
        }

        public void Take(int c0, int c1, int r0, int r1, float lux) => Sum += _luminance * lux;
    }

    /// <summary>Share of light left after a way through the haze, 1 when haze is not counted.</summary>
    public float HazeOver(float path) =>
        _settings.ThroughHaze && _moment.Haze.ExtinctionPerMetre > 0 ? MathF.Exp(-_moment.Haze.ExtinctionPerMetre * path) : 1;

    /// <summary>How many blocks a side is cut into: at most one for each pixel, or else the same number in every pixel.</summary>
    internal static int Blocks(float wanted, int pixels)
    {
        var blocks = Math.Clamp((int)MathF.Ceiling(wanted), 1, MostBlocks);
        return blocks <= pixels ? blocks : pixels * (((blocks - 1) / pixels) + 1);
    }

    /// <summary>The pixels that a block covers and its share of the side; block edges fall on pixel edges, or inside one pixel.</summary>
    internal static (int First, int End, float From, float To) Cut(int block, int blocks, int pixels)
    {
        if (blocks > pixels)
        {
            var pixel = block / (blocks / pixels);
            return (pixel, pixel + 1, (float)block / blocks, (float)(block + 1) / blocks);
        }

        var (first, end) = (block * pixels / blocks, (block + 1) * pixels / blocks);
        return (first, end, (float)first / pixels, (float)end / pixels);
    }

    internal static float Nearest(in PixelSurface flat, float lengthU, float lengthV, Vector3 point)
    {
        var rel = point - flat.Origin;
        var u = Math.Clamp(Vector3.Dot(rel, flat.EdgeU) / (lengthU * lengthU), 0, 1);
        var v = Math.Clamp(Vector3.Dot(rel, flat.EdgeV) / (lengthV * lengthV), 0, 1);
        return Vector3.Distance(rel, (flat.EdgeU * u) + (flat.EdgeV * v));
    }
}
