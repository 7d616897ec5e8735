using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;

namespace StageView.Stage.Content;

/// <summary>Content over the pixel surfaces of a moment that is being built.</summary>
/// <param name="placement">Where and how.</param>
/// <param name="frames">Its frames; disposed with this where they can be, once or several times: others may share them.</param>
public sealed class PlacedContent(ContentPlacement placement, IContentFrames frames) : IDisposable
{
    // A pixel that lies askew to the content is cut into this many parts a side, each averaged over its own box.
    private const int PartsAskew = 4;

    private readonly HashSet<FixtureIndex> _fixtures = [.. placement.Fixtures];

    public ContentPlacement Placement => placement;

    /// <summary>Its frames.</summary>
    public IContentFrames Frames => frames;

    /// <summary>Adds the content of one time to every surface it is meant for.</summary>
    public void Fill(MomentBuilder builder, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(builder);
        if (at < placement.Start || frames.FrameAt(at - placement.Start, placement.Repeat) is not { } image)
        {
            return;
        }

        var plane = new Plane(placement);
        for (var s = 0; s < builder.Surfaces.Length; s++)
        {
            var surface = builder.Surfaces[s];
            if (_fixtures.Count == 0 || _fixtures.Contains(surface.Fixture))
            {
                Fill(surface, builder.PixelsOf(s), image, plane);
            }
        }
    }

    public void Dispose() => (frames as IDisposable)?.Dispose();

    private void Fill(in PixelSurface surface, Span<Vector3> pixels, ContentImage image, in Plane plane)
    {
        if (surface.Shape == PixelShape.Globe)
        {
            // A globe takes the content over its disc, all round.
            var radius = surface.EdgeU.Length() * 0.5f;
            var (middle, reach) = (plane.At(surface.Origin), new Vector2(radius) / plane.Size);
            var light = image.Mean(middle.X - reach.X, middle.Y - reach.Y, middle.X + reach.X, middle.Y + reach.Y) * placement.Luminance;
            foreach (ref var pixel in pixels)
            {
                pixel = Mixed(light, pixel);
            }

            return;
        }

        var (right, down) = (plane.Along(surface.EdgeU) / surface.Columns, plane.Along(surface.EdgeV) / surface.Rows);
        var origin = plane.At(surface.Origin);
        var parts = Askew(right, plane.Size) || Askew(down, plane.Size) ? PartsAskew : 1;
        for (var y = 0; y < surface.Rows; y++)
        {
            for (var x = 0; x < surface.Columns; x++)
            {
                ref var pixel = ref pixels[(y * surface.Columns) + x];
                pixel = Mixed(Mean(image, origin + (right * x) + (down * y), right, down, parts) * placement.Luminance, pixel);
            }
        }
    }

    private static Vector3 Mean(ContentImage image, Vector2 corner, Vector2 right, Vector2 down, int parts)
    {
        var sum = Vector3.Zero;
        var (r, d) = (right / parts, down / parts);
        for (var j = 0; j < parts; j++)
        {
            for (var i = 0; i < parts; i++)
            {
                var from = corner + (r * i) + (d * j);
                var least = Vector2.Min(Vector2.Min(from, from + r), Vector2.Min(from + d, from + r + d));
                var most = Vector2.Max(Vector2.Max(from, from + r), Vector2.Max(from + d, from + r + d));
                sum += image.Mean(least.X, least.Y, most.X, most.Y);
            }
        }

        return sum / (parts * parts);
    }

    // More than a tenth off both axes of the content, in metres.
    private static bool Askew(Vector2 edge, Vector2 size)
    {
        var m = Vector2.Abs(edge * size);
        return MathF.Min(m.X, m.Y) > 0.1f * MathF.Max(m.X, m.Y);
    }

    private Vector3 Mixed(Vector3 content, Vector3 levels) => placement.Mix switch
    {
        ContentMix.Add => content + levels,
        ContentMix.LevelsOver => levels == Vector3.Zero ? content : levels,
        _ => Vector3.Max(content, levels),
    };

    /// <summary>World points to content coordinates: 0 to 1 along the rectangle's edges, along its normal.</summary>
    private readonly struct Plane
    {
        private readonly Vector3 _corner;
        private readonly Vector3 _u;
        private readonly Vector3 _v;

        public Plane(ContentPlacement p)
        {
            _corner = p.Corner;
            Size = new Vector2(p.Across.Length(), p.Down.Length());
            // Dual basis of the two edges in their plane, so that edges need not be square to each other.
            var n = Vector3.Cross(p.Across, p.Down);
            var area2 = n.LengthSquared();
            _u = Vector3.Cross(p.Down, n) / area2;
            _v = Vector3.Cross(n, p.Across) / area2;
        }

        /// <summary>m.</summary>
        public Vector2 Size { get; }

        public Vector2 At(Vector3 world) => Along(world - _corner);

        public Vector2 Along(Vector3 step) => new(Vector3.Dot(step, _u), Vector3.Dot(step, _v));
    }
}
