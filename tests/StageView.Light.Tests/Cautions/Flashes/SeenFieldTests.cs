using System.Numerics;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Cautions.Flashes;

public sealed class SeenFieldTests
{
    private static readonly Vector3 Eye = new(0, -6, 1.5f);

    private static FieldSampler Sampler => new(FieldGrid.Eye(60, 40, 2.5, 10));

    /// <summary>A lamp that dims and one that turns, a mirror, a wall of pixels that run, a plate that stands until the tenth moment.</summary>
    private static Moment Build(MomentBuilder b, int k)
    {
        b.Begin();
        b.Haze = new Haze(0.03f, 0.97f, 0.7f);
        b.Add(Rooms.Spot(new Vector3(2, 1, 4), new Vector3(0, 1, 0), k % 3 * 3000, 20, 30));
        b.Add(Rooms.Spot(new Vector3(-2, 1, 4), new Vector3(-2 + (k * 0.3f), 0, 1), 5000, 10, 18));
        b.Add(Rooms.Spot(new Vector3(0, -8, 3), new Vector3(0, 3, 2), 4000, 10, 18));
        b.AddMirror(new Vector3(0, 3, 2), -Vector3.UnitY, Vector3.UnitZ, 3, 2);
        b.Add(Rooms.Plate(new Vector3(0, 0, 0), 12, Vector3.Zero));
        b.Add(Rooms.Plate(new Vector3(k < 10 ? 1.5f : 1.2f, -2, 1), 0.6f, new Vector3(90, 0, 0)));
        var pixels = b.AddSurface(new PixelSurface
        {
            Columns = 6, Rows = 3, Fill = 0.9f, Origin = new Vector3(-3, 2, 3), EdgeU = new Vector3(2, 0, 0),
            EdgeV = new Vector3(0, 0, -1)
        });
        for (var i = 0; i < pixels.Length; i++)
        {
            pixels[i] = (i + k) % 4 == 0 ? new Vector3(300, 80, 20) : Vector3.Zero;
        }

        return b.Build(TimeSpan.FromSeconds(k), 2);
    }

    // What is remembered from moment to moment changes nothing: each field is the one that a first look gives.
    [Fact]
    public void A_field_that_is_followed_is_the_field_that_is_looked_at_anew()
    {
        var sampler = Sampler;
        var field = new SeenField(sampler, Eye, Vector3.UnitY, Vector3.UnitZ);
        var (b, fresh) = (Rooms.Builder(), new Vector3[sampler.Grid.Cells]);
        var last = new Vector3[sampler.Grid.Cells];
        for (var k = 0; k < 14; k++)
        {
            var moment = Build(b, k);
            var scene = OcclusionScene.From(moment);
            var meter = new LightMeter(moment, scene);
            field.Read(meter, scene, MomentKeys.Of(moment));
            sampler.Sample(meter, scene, Eye, Vector3.UnitY, Vector3.UnitZ, fresh);
            Assert.False(last.AsSpan().SequenceEqual(fresh), $"moment {k} is as the one before");
            fresh.CopyTo(last, 0);
            for (var i = 0; i < fresh.Length; i++)
            {
                Assert.True((field.Cells[i] - fresh[i]).Length() <= 1e-3f * (0.01f + fresh[i].Length()), $"moment {k}, cell {i}: {field.Cells[i]}, {fresh[i]}");
            }
        }
    }

    [Fact]
    public void Keys_tell_what_differs()
    {
        var b = Rooms.Builder();
        var (first, again, dimmed, moved) = (MomentKeys.Of(Build(b, 1)), MomentKeys.Of(Build(b, 1)), MomentKeys.Of(Build(b, 2)), MomentKeys.Of(Build(b, 10)));
        Assert.Equal(first.All, again.All);
        Assert.Equal(first.Room, dimmed.Room);
        Assert.NotEqual(first.All, dimmed.All);
        Assert.NotEqual(first.Room, moved.Room);
        // The lamp that only dims keeps its key, the one that turns doesn't.
        Assert.Equal(first.Beams[0], dimmed.Beams[0]);
        Assert.DoesNotContain(first.Beams[1], dimmed.Beams.ToArray());
        Assert.Equal(first.Surfaces[0], dimmed.Surfaces[0]);
    }

    // The solid angle of a right rectangular pyramid of apex angles a and b: 4 arcsin(sin(a/2) sin(b/2)) (handbooks of geometry).
    [Fact]
    public void A_lens_covers_its_pyramid_and_finds_its_cells_again()
    {
        var grid = FieldGrid.Lens(40, 42, 24);
        var half = Math.Atan(Math.Tan(20 * Math.PI / 180) * 42 / 24);
        var sum = 0.0;
        for (var i = 0; i < grid.Cells; i++)
        {
            sum += grid.SolidAngles[i];
            Assert.Equal(i, grid.CellOf(grid.Directions[i]));
            Assert.True(Vector3.Distance(grid.Directions[i], grid.DirectionAt(i % 42, i / 42)) < 1e-5f);
            Assert.Equal(1f / grid.Cells, grid.Areas[i]);
        }

        var pyramid = 4 * Math.Asin(Math.Sin(half) * Math.Sin(20 * Math.PI / 180));
        Assert.InRange(sum / pyramid, 0.999, 1.001);
        Assert.Equal(-1, grid.CellOf(Vector3.Normalize(new Vector3(0, 0.37f, 1))));
        Assert.Equal(1, grid.Discs);
        Assert.Throws<ArgumentException>(() => FieldGrid.Lens(171, 4, 3));
    }
}
