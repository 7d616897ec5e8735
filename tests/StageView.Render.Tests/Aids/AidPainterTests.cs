using System.Numerics;
using SkiaSharp;
using StageView.Ground.Drawings;
using StageView.Light.Grids;
using StageView.Light.Moments;
using StageView.Render.Aids;
using StageView.Render.Output;

namespace StageView.Render.Tests.Aids;

public sealed class AidPainterTests
{
    private static readonly Lazy<SmallShow> Large = new(() => new SmallShow());
    private static readonly Lazy<SmallShow> Little = new(() => new SmallShow(24, 640, 360));

    public static TheoryData<string, ReadingAids> Pictures => new()
    {
        { "names", ReadingAids.Names },
        { "universes", ReadingAids.Universes },
        { "axes-landings", ReadingAids.Axes | ReadingAids.Landings },
        { "exposure", ReadingAids.Exposure },
        { "illuminance", ReadingAids.Illuminance },
        { "all-but-lux", ReadingAids.Names | ReadingAids.Universes | ReadingAids.Axes | ReadingAids.Landings | ReadingAids.Exposure },
    };

    [Theory]
    [MemberData(nameof(Pictures))]
    public void Each_aid_changes_the_picture_and_is_the_same_each_time(string name, ReadingAids aids)
    {
        foreach (var show in new[] { Large.Value, Little.Value })
        {
            var before = (byte[])show.Frame.Rgba.Clone();
            var painted = AidPainter.Paint(show.Frame, show.Input with { WorkLight = name == "names" }, aids);
            PngPicture.Write(Path.Combine(Repo.Out("aids"), $"{name}-{show.Frame.Height}.png"), painted);
            Assert.Equal(before, show.Frame.Rgba);
            var changed = Enumerable.Range(0, before.Length / 4).Count(i => !before.AsSpan(i * 4, 4).SequenceEqual(painted.Rgba.AsSpan(i * 4, 4)));
            Assert.True(changed > before.Length / 4 / 200, $"{name} changed {changed} pixels");
            Assert.Equal(painted.Rgba, AidPainter.Paint(show.Frame, show.Input with { WorkLight = name == "names" }, aids).Rgba);
        }
    }

    [Fact]
    public void Nothing_asked_leaves_the_frame_alone() =>
        Assert.Same(Large.Value.Frame, AidPainter.Paint(Large.Value.Frame, Large.Value.Input, ReadingAids.None));

    [Fact]
    public void Illuminance_without_its_values_is_refused() =>
        Assert.Throws<ArgumentException>(() => AidPainter.Paint(Large.Value.Frame, Large.Value.Input with { Lux = null }, ReadingAids.Illuminance));

    [Fact]
    public void Labels_never_overlap_nor_leave_the_picture()
    {
        var random = new Random(5);
        var placer = SkiaPlaces.Placer(640, 360, 6);
        var placed = 0;
        for (var i = 0; i < 300; i++)
        {
            placed += placer.TryPlace(new SKPoint(random.Next(640), random.Next(360)), new SKSize(40 + random.Next(30), 14), out _) ? 1 : 0;
        }

        Assert.InRange(placed, 80, 299);
        for (var i = 0; i < placer.Taken.Count; i++)
        {
            var a = placer.Taken[i];
            Assert.True(a.Low.X >= 0 && a.Low.Y >= 0 && a.High.X <= 640 && a.High.Y <= 360);
            Assert.All(placer.Taken.Skip(i + 1), b => Assert.False(a.Meets(b)));
        }
    }

    [Fact]
    public void No_label_hides_the_line_of_another()
    {
        var placer = SkiaPlaces.Placer(200, 200, 5);
        Assert.True(placer.TryPlace(new Vector2(100, 100), new Vector2(60, 14), out var first));
        Assert.True(placer.TryPlace(new Vector2(100, 99), new Vector2(60, 14), out var second));
        Assert.False(first.Meets(new Vector2(100, 99), new Vector2((second.Low.X + second.High.X) / 2, second.Low.Y)));
        var square = new Rectangle(new Vector2(4), new Vector2(6));
        Assert.True(square.Meets(Vector2.Zero, new Vector2(10, 10)));
        Assert.False(square.Meets(Vector2.Zero, new Vector2(3, 3)));
        Assert.False(square.Meets(Vector2.Zero, new Vector2(0, 10)));
    }

    [Fact]
    public void The_projection_is_that_of_a_plain_look_at_matrix()
    {
        // System.Numerics' own look-at and perspective matrices are the judge.
        var camera = new Camera { Name = "c", Position = new(3, -9, 4), Target = new(-1, 2, 1), VerticalFieldRadians = 0.7f };
        var matrix = Matrix4x4.CreateLookAt(camera.Position, camera.Target, camera.Up) * Matrix4x4.CreatePerspectiveFieldOfView(0.7f, 1280f / 720, 0.1f, 100);
        var projection = new PictureProjection(camera, 1280, 720);
        foreach (var p in new Vector3[] { new(0, 0, 0), new(-4, 8, 3), new(2, 1, 6) })
        {
            var clip = Vector4.Transform(new Vector4(p, 1), matrix);
            Assert.True(projection.TryPoint(p, out var pixel));
            Assert.Equal(((clip.X / clip.W) + 1) * 640, pixel.X, 0.01f);
            Assert.Equal((1 - (clip.Y / clip.W)) * 360, pixel.Y, 0.01f);
        }

        Assert.False(projection.TryPoint(new(7, -20, 7), out _));
        Assert.True(projection.TryLine(new(7, -20, 7), new(0, 0, 0), out _, out var end));
        Assert.True(projection.TryPoint(Vector3.Zero, out var origin) && Vector2.Distance(end, origin) < 0.01f);
    }

    [Fact]
    public void A_reflected_leg_starts_on_its_mirror()
    {
        var show = Large.Value;
        var found = 0;
        for (var i = 0; i < show.Moment.Beams.Length; i++)
        {
            var beam = show.Moment.Beams.Span[i];
            if (beam.Bounces == 1 && BeamMarks.TryLeg(show.Moment, beam, null, out var from, out _))
            {
                Assert.Equal(10, from.Y, 1e-3f);
                found++;
            }
        }

        Assert.InRange(found, 1, 24);
    }

    [Theory]
    [InlineData(0.0123f, "0.012")]
    [InlineData(0.6f, "0.60")]
    [InlineData(9.6f, "9.6")]
    [InlineData(38.4f, "38")]
    [InlineData(153.6f, "154")]
    [InlineData(1236f, "1240")]
    [InlineData(0f, "0")]
    [InlineData(float.NaN, "0")]
    public void Numbers_as_they_stand_on_pictures(float value, string text) => Assert.Equal(text, Figures.Short(value));

    [Fact]
    public void Illuminance_steps_follow_the_series_and_sort_values_right()
    {
        var scale = LuxScale.For(new LuxImage(4, 1, [1240, 3, -1, float.NaN]));
        Assert.Equal([1, 2, 5, 10, 20, 50, 100, 200, 500, 1000], LuxScale.For(new LuxImage(1000, 1, [.. Enumerable.Repeat(1240f, 1000)])).Steps);
        Assert.Equal(LuxScale.MostSteps, scale.Steps.Length);
        Assert.Equal(0, scale.BandOf(0));
        Assert.Equal(scale.Steps.Length, scale.BandOf(1e9f));
        for (var i = 0; i < scale.Steps.Length; i++)
        {
            Assert.Equal(i + 1, scale.BandOf(scale.Steps[i]));
        }
    }

    [Fact]
    public void Colours_of_illuminance_rise_in_lightness_evenly_so_that_they_read_in_grey()
    {
        for (var i = 0; i <= 20; i++)
        {
            var (r, g, b) = HeatScale.Colour(i / 20.0);
            var lightness = Oklab.FromLinear(new(Srgb.Decode(r / 255f), Srgb.Decode(g / 255f), Srgb.Decode(b / 255f))).X;
            Assert.Equal(0.22f + (0.73f * i / 20), lightness, 0.01f);
        }
    }
}
