using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;

namespace StageView.Stage.Content;

/// <summary>Content over the pixel surfaces of a moment that is being built.</summary>
/// <param name="placement">Where and how.</param>
/// <param name="frames">Its frames; disposed with this where they can be, once or several times: others may share them.</param>
/// <param name="map">The fixed map that places it, or by which surfaces that are turned away hold; null where it is thrown and none hold.</param>
/// <param name="since">Time since its start at a show time, negative before it and null where there is none; counted from the placement's start when left
/// out.</param>
public sealed class PlacedContent(ContentPlacement placement, IContentFrames frames, PixelMap? map = null, Func<TimeSpan, TimeSpan?>? since = null)
    : IDisposable
{
    /// <summary>Before its start and after its end a projector shows black.</summary>
    private static readonly GoboImage s_black = new() { Name = "black", Size = 2, Rgb = new byte[12], Transmission = 0 };

    private (ContentImage Image, GoboImage Thrown)? _thrown;

    /// <summary>The cosine from which on a surface counts as turned away: edge on it still takes what falls on its line.</summary>
    private const float Away = -1e-3f;

    private readonly HashSet<FixtureIndex> _fixtures = [.. placement.Fixtures];
    private readonly HashSet<FixtureIndex> _through = [.. placement.Through];
    private readonly ThrowPlane _plane = new(placement.Corner, placement.Across, placement.Down);

    public ContentPlacement Placement => placement;

    /// <summary>Its frames.</summary>
    public IContentFrames Frames => frames;

    /// <summary>The fixed map that places it, or by which surfaces hold.</summary>
    public PixelMap? Map => map;

    /// <summary>The frame that shows at a time; null before its start and after its end.</summary>
    public ContentImage? ImageAt(TimeSpan at) => TimeAt(at) is { } within ? frames.FrameAt(within, placement.Repeat) : null;

    /// <summary>The time within it that shows at a time; null before its start.</summary>
    public TimeSpan? TimeAt(TimeSpan at) =>
        (since is null ? at - placement.Start : since(at)) is { } passed && passed >= TimeSpan.Zero ? (passed * placement.Pace) + placement.Offset : null;

    /// <summary>Whether a fixture takes it.</summary>
    public bool Takes(FixtureIndex fixture) => _fixtures.Count == 0 || _fixtures.Contains(fixture);

    /// <summary>A picture as it stands in a gate; made once a picture.</summary>
    private GoboImage Thrown(ContentImage? image)
    {
        if (image is null)
        {
            return s_black;
        }

        if (_thrown is not { } made || made.Image != image)
        {
            var side = Math.Max(image.Width, image.Height) > 256 ? 512 : 256;
            _thrown = made = (image, ThrownPicture.Of(placement.Name, (float)image.Width / image.Height, side, image.Mean));
        }

        return made.Thrown;
    }

    /// <summary>Adds the content of one time to every surface it is meant for, or puts it into the gates of the fixtures that throw it.</summary>
    public void Fill(MomentBuilder builder, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(builder);
        var image = ImageAt(at);
        if (placement.Through.Count > 0)
        {
            builder.Throw(Thrown(image), image is null ? 1 : (float)image.Width / image.Height, _through.Contains);
            return;
        }

        if (image is null)
        {
            return;
        }

        for (var s = 0; s < builder.Surfaces.Length; s++)
        {
            var surface = builder.Surfaces[s];
            if (!Takes(surface.Fixture))
            {
                continue;
            }

            if (placement.Map is not null)
            {
                if (map?.Of(surface) is { } patch)
                {
                    Mapped(patch, builder.PixelsOf(s), image);
                }
            }
            else if (surface.Shape == PixelShape.Globe || placement.FacingAway == FacingAway.Mirrored
                || Vector3.Dot(surface.FrontNormal, _plane.Front) >= Away)
            {
                Thrown(surface, builder.PixelsOf(s), image);
            }
            else if (placement.FacingAway == FacingAway.Hold && map?.Of(surface) is { } held)
            {
                Mapped(held, builder.PixelsOf(s), image);
            }
        }
    }

    public void Dispose() => (frames as IDisposable)?.Dispose();

    private void Mapped(MapPatch patch, Span<Vector3> pixels, ContentImage image)
    {
        if (patch.ByHand is { } hand)
        {
            for (var i = 0; i < pixels.Length; i++)
            {
                if (!float.IsNaN(hand[i].X))
                {
                    var (middle, reach) = (new Vector2(hand[i].X, hand[i].Y), new Vector2(hand[i].Z, hand[i].W) / 2);
                    var (least, most) = (middle - reach, middle + reach);
                    pixels[i] = Mixed(image.Mean(least.X, least.Y, most.X, most.Y) * placement.Luminance, pixels[i]);
                }
            }

            return;
        }

        var sampler = new PatchSampler(patch.Corner, patch.Right / patch.Rest.Columns, patch.Down / patch.Rest.Rows, new Vector2(image.Width, image.Height));
        Fill(sampler, pixels, patch.Rest.Columns, image);
    }

    private void Thrown(in PixelSurface surface, Span<Vector3> pixels, ContentImage image)
    {
        if (surface.Shape == PixelShape.Globe)
        {
            // A globe takes the content over its disc, all round.
            var radius = surface.EdgeU.Length() * 0.5f;
            var (middle, reach) = (_plane.At(surface.Origin), new Vector2(radius) / _plane.Size);
            var light = image.Mean(middle.X - reach.X, middle.Y - reach.Y, middle.X + reach.X, middle.Y + reach.Y) * placement.Luminance;
            foreach (ref var pixel in pixels)
            {
                pixel = Mixed(light, pixel);
            }

            return;
        }

        var (right, down) = (_plane.Along(surface.EdgeU) / surface.Columns, _plane.Along(surface.EdgeV) / surface.Rows);
        Fill(new PatchSampler(_plane.At(surface.Origin), right, down, _plane.Size), pixels, surface.Columns, image);
    }

    private void Fill(in PatchSampler sampler, Span<Vector3> pixels, int columns, ContentImage image)
    {
        for (var i = 0; i < pixels.Length; i++)
        {
            pixels[i] = Mixed(sampler.Mean(image, i % columns, i / columns) * placement.Luminance, pixels[i]);
        }
    }

    private Vector3 Mixed(Vector3 content, Vector3 levels) => placement.Mix switch
    {
        ContentMix.Add => content + levels,
        ContentMix.LevelsOver => levels == Vector3.Zero ? content : levels,
        _ => Vector3.Max(content, levels),
    };
}
