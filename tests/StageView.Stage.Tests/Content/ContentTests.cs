using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;
using StageView.Stage.Content;

namespace StageView.Stage.Tests.Content;

public sealed class ContentTests
{
    [Fact]
    public void A_mean_over_any_rectangle_is_the_area_sum()
    {
        const int w = 67, h = 41;
        var random = new Random(11);
        var rgb = new byte[w * h * 3];
        random.NextBytes(rgb);
        var image = ContentImage.FromSrgb(w, h, rgb);
        // The whole at once is exact at any level, odd sizes included.
        var all = Vector3.Zero;
        for (var i = 0; i < w * h; i++)
        {
            all += Texel(rgb, i) / (w * h);
        }

        Assert.True(Vector3.Distance(all, image.Mean(0, 0, 1, 1)) < 2e-5f);
        for (var n = 0; n < 300; n++)
        {
            var (u0, v0) = ((random.NextSingle() * 1.2f) - 0.2f, (random.NextSingle() * 1.2f) - 0.2f);
            var (u1, v1) = (u0 + 0.02f + (random.NextSingle() * 0.5f), v0 + 0.03f + (random.NextSingle() * 0.5f));
            var sum = Vector3.Zero;
            for (var y = 0; y < h; y++)
            {
                for (var x = 0; x < w; x++)
                {
                    var cover = MathF.Max(0, MathF.Min(x + 1, u1 * w) - MathF.Max(x, u0 * w)) * MathF.Max(0, MathF.Min(y + 1, v1 * h) - MathF.Max(y, v0 * h));
                    sum += Texel(rgb, (y * w) + x) * cover;
                }
            }

            sum /= (u1 - u0) * w * (v1 - v0) * h;
            // Noise is the hardest picture: only the fraction of a smaller copy's edge pixels differs.
            Assert.True(Vector3.Distance(sum, image.Mean(u0, v0, u1, v1)) < 0.05f, $"{u0} {v0} {u1} {v1}: {sum}, {image.Mean(u0, v0, u1, v1)}");
        }
    }

    [Fact]
    public void Outside_the_content_there_is_nothing_and_white_is_one()
    {
        var image = ContentImage.FromSrgb(5, 5, Enumerable.Repeat((byte)255, 75).ToArray());
        Assert.Equal(Vector3.Zero, image.Mean(1.01f, 0, 2, 1));
        Assert.Equal(1, image.Mean(0.2f, 0.2f, 0.7f, 0.9f).X, 1e-5f);
        Assert.Equal(0.5f, image.Mean(-0.5f, 0, 0.5f, 1).Y, 1e-5f);
        Assert.Equal(1, image.Mean(0.5f, 0.5f, 0.5f, 0.5f).Z, 1e-5f);
    }

    // A wall of 8 x 4 pixels, 4 m x 2 m, at y = 6; the content is exactly as large and has the same grid.
    private static readonly PixelSurface Wall = new()
    {
        Fixture = new FixtureIndex(3),
        Origin = new(-2, 6, 4),
        EdgeU = new(4, 0, 0),
        EdgeV = new(0, 0, -2),
        Columns = 8,
        Rows = 4,
        Fill = 1,
    };

    private static readonly ContentPlacement Over = new()
    {
        Name = "c",
        File = "c.png",
        FullPath = "/c.png",
        Corner = new(-2, 0, 4),
        Across = new(4, 0, 0),
        Down = new(0, 0, -2),
        Luminance = 1000,
    };

    [Fact]
    public void Pixel_for_pixel_where_grids_meet()
    {
        var rgb = new byte[8 * 4 * 3];
        new Random(2).NextBytes(rgb);
        var pixels = Build(Over, new Still(ContentImage.FromSrgb(8, 4, rgb)), TimeSpan.Zero, Wall);
        for (var i = 0; i < 32; i++)
        {
            Assert.True(Vector3.Distance(Texel(rgb, i) * 1000, pixels[i]) < 0.1f, $"pixel {i}");
        }
    }

    [Fact]
    public void Each_facet_of_a_curved_wall_takes_its_own_part()
    {
        // Left half red, right half green, seen from the front; two facets at an angle, one strip upside down.
        var rgb = new byte[2 * 3];
        (rgb[0], rgb[4]) = (255, 255);
        var image = ContentImage.FromSrgb(2, 1, rgb);
        var left = Wall with { EdgeU = new(1.5f, 0.8f, 0), Columns = 3 };
        var right = Wall with { Origin = new(1, 6.5f, 4), EdgeU = new(0.9f, -0.8f, 0), Columns = 3 };
        var turned = Wall with { Origin = new(-0.5f, 6, 2), EdgeU = new(-1, 0, 0), EdgeV = new(0, 0, 1), Columns = 2, Rows = 1 };
        var pixels = Build(Over, new Still(image), TimeSpan.Zero, left, right, turned);
        Assert.All(pixels[..12], p => Assert.True(p is { X: > 999, Y: < 1 }));
        Assert.All(pixels[12..24], p => Assert.True(p is { X: < 1, Y: > 999 }));
        Assert.All(pixels[24..], p => Assert.True(p is { X: > 999, Y: < 1 }));
    }

    [Fact]
    public void A_strip_across_the_grain_averages_what_it_covers()
    {
        // Fine stripes: whatever the angle, a coarse pixel sees their mean, without moire.
        var rgb = new byte[400 * 200 * 3];
        for (var i = 0; i < 400 * 200; i++)
        {
            rgb.AsSpan(i * 3, 3).Fill((byte)((i % 400 % 2) * 255));
        }

        var strip = Wall with { Origin = new(-1.5f, 6, 3.8f), EdgeU = new(2.3f, 0, -1.1f), EdgeV = new(-0.03f, 0, -0.06f), Columns = 30, Rows = 1 };
        Assert.All(Build(Over, new Still(ContentImage.FromSrgb(400, 200, rgb)), TimeSpan.Zero, strip), p => Assert.InRange(p.X, 470, 530));
    }

    /// <summary>A projector's picture follows its content, is made once while that stands, and is black before its start.</summary>
    [Fact]
    public void Content_through_a_fixture_stands_in_its_gate()
    {
        var lamp = new Beam
        {
            Fixture = new FixtureIndex(5),
            Axis = Vector3.UnitY,
            Up = Vector3.UnitZ,
            Colour = Vector3.One,
            FluxLumens = 100,
            Profile = AngularProfile.FromBeamAndField(0.5f, 0.52f),
            Iris = 1,
        };
        var through = Over with { Through = [new FixtureIndex(5)], Start = TimeSpan.FromSeconds(1) };
        using var placed = new PlacedContent(through, new Still(ContentImage.FromSrgb(2, 1, [255, 0, 0, 0, 255, 0])));
        var builder = new MomentBuilder();
        Moment At(double seconds)
        {
            builder.Begin();
            builder.Add(lamp);
            builder.AddSurface(Wall);
            placed.Fill(builder, TimeSpan.FromSeconds(seconds));
            return builder.Build(TimeSpan.FromSeconds(seconds));
        }

        var before = At(0.5);
        Assert.Equal(Vector3.Zero, GoboSampling.Transmission(before, before.Beams.Span[0], Vector3.UnitY));
        var (first, second) = (At(2), At(3));
        Assert.Same(first.GoboImages, second.GoboImages);
        Assert.Equal(Vector3.UnitX, GoboSampling.Transmission(first, first.Beams.Span[0], Vector3.Normalize(new(-0.1f, 1, 0))));
        Assert.Equal(Vector3.UnitY, GoboSampling.Transmission(first, first.Beams.Span[0], Vector3.Normalize(new(0.1f, 1, 0))));
        Assert.All(first.Pixels.ToArray(), p => Assert.Equal(Vector3.Zero, p));
    }

    [Theory]
    [InlineData(ContentMix.Highest, 500, 200)]
    [InlineData(ContentMix.Add, 700, 200)]
    [InlineData(ContentMix.LevelsOver, 200, 200)]
    public void Levels_come_on_top(ContentMix mix, float red, float green)
    {
        var half = ContentImage.FromSrgb(1, 1, [188, 0, 0]); // sRGB 188 is .503 of full white
        var pixels = Build(Over with { Mix = mix }, new Still(half), TimeSpan.Zero, levels: new Vector3(200, 200, 0), Wall);
        Assert.Equal(red, pixels[0].X, 5f);
        Assert.Equal(green, pixels[0].Y, 0.01f);
    }

    [Fact]
    public void Content_starts_when_it_should_and_only_on_its_fixtures()
    {
        var white = new Still(ContentImage.FromSrgb(1, 1, [255, 255, 255]));
        var late = Over with { Start = TimeSpan.FromSeconds(5), Fixtures = [new FixtureIndex(3)] };
        var other = Wall with { Fixture = new FixtureIndex(4) };
        Assert.All(Build(late, white, TimeSpan.FromSeconds(4.9), Wall), p => Assert.Equal(Vector3.Zero, p));
        var pixels = Build(late, white, TimeSpan.FromSeconds(5), Wall, other);
        Assert.All(pixels[..32], p => Assert.True(p.X > 999));
        Assert.All(pixels[32..], p => Assert.Equal(Vector3.Zero, p));
    }

    [Fact]
    public void A_globe_takes_what_lies_behind_its_disc()
    {
        var rgb = new byte[4 * 3];
        rgb.AsSpan(3, 6).Fill(255);
        var ball = new PixelSurface
        {
            Shape = PixelShape.Globe, Origin = new(0, 5, 3), EdgeU = new(1, 0, 0), EdgeV = new(0, 0, -1), Columns = 1, Rows = 1, Fill = 1,
        };
        Assert.Equal(1000, Build(Over, new Still(ContentImage.FromSrgb(4, 1, rgb)), TimeSpan.Zero, ball)[0].X, 1f);
    }

    private static Vector3[] Build(ContentPlacement placement, IContentFrames frames, TimeSpan at, params PixelSurface[] surfaces) =>
        Build(placement, frames, at, Vector3.Zero, surfaces);

    private static Vector3[] Build(ContentPlacement placement, IContentFrames frames, TimeSpan at, Vector3 levels, params PixelSurface[] surfaces)
    {
        var builder = new MomentBuilder();
        builder.Begin();
        foreach (var s in surfaces)
        {
            builder.AddSurface(s).Fill(levels);
        }

        new PlacedContent(placement, frames).Fill(builder, at);
        return builder.Build(at).Pixels.ToArray();
    }

    private static Vector3 Texel(byte[] rgb, int i) => new(Linear(rgb[i * 3]), Linear(rgb[(i * 3) + 1]), Linear(rgb[(i * 3) + 2]));

    private static float Linear(byte code)
    {
        var e = code / 255.0;
        return (float)(e <= 0.04045 ? e / 12.92 : Math.Pow((e + 0.055) / 1.055, 2.4));
    }

    private sealed class Still(ContentImage image) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => image;
    }
}
