using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Tests.Cautions.Volumes;

public sealed class BeamSearchTests
{
    private static readonly WatchedVolume Stalls = new("stalls", false, Pose.At(0, -8, 1), new Vector3(10, 6, 2));

    private static bool Find(Moment m, int beam, WatchedVolume volume, float least, out VolumeLight light) =>
        BeamSearch.TryFind(Rooms.Meter(m), beam, volume, least, out light);

    private static Moment Of(params Beam[] beams)
    {
        var b = Rooms.Builder();
        foreach (var beam in beams)
        {
            b.Add(beam);
        }

        return b.Build(TimeSpan.Zero);
    }

    // The inverse square law: along its axis a spot enters the box's top 6 m below the lens.
    [Fact]
    public void Straight_down_the_strongest_point_is_where_the_axis_enters()
    {
        var m = Of(Rooms.Spot(new Vector3(1, -7, 8), new Vector3(1, -7, 0)));
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        Rooms.Near(m.Beams.Span[0].PeakCandela / 36, light.Lux, 1e-5);
        Assert.True(Vector3.Distance(new Vector3(1, -7, 2), light.Point) < 1e-3f, $"{light.Point}");
        Assert.True(light.AtMostLux <= light.Lux * 1.0101f);
    }

    // A source of I = I0·f(θ) over a plane: the strongest point lies between the foot and the axis; a fine scan of that line gives it.
    [Fact]
    public void Aslant_the_strongest_point_lies_between_the_foot_and_the_axis()
    {
        var m = Of(Rooms.Spot(new Vector3(0, 0, 8), new Vector3(0, -8, 2), beamDegrees: 30, fieldDegrees: 60));
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        var best = Enumerable.Range(0, 6001).Max(i => Rooms.Meter(m).FromBeamFacing(new(0), new Vector3(0, -5 - (i * 0.001f), 2)));
        Rooms.Near(best, light.Lux, 0.0101);
    }

    // 10 m on, a half cut-off angle c about an axis 1 mm less than 10·tan c above the edge: only a sliver of the cone's rim comes in.
    [Theory]
    [InlineData(0.999f, true)]
    [InlineData(1.001f, false)]
    public void The_rim_of_a_cone_that_grazes_an_edge(float share, bool meets)
    {
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(4), Angles.Radians(6));
        var over = 10 * MathF.Tan(profile.CutoffRadians) * share;
        var m = Of(Rooms.Spot(new Vector3(0.123f, 5, 2 + over), new Vector3(0.123f, -5, 2 + over)) with { Profile = profile });
        // The box reaches from y = -5 back to -5.001: a wall whose upper edge the rim grazes.
        var wall = new WatchedVolume("wall", false, Pose.At(0, -5.0005f, 1), new Vector3(10, 0.001f, 2));
        Assert.Equal(meets, Find(m, 0, wall, 0, out _));
    }

    [Fact]
    public void Inside_the_volume_it_is_strongest_at_the_lens()
    {
        var m = Of(Rooms.Spot(new Vector3(0, -8, 1), new Vector3(0, -8, 0)) with { StartDistance = 0.4f });
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        Rooms.Near(m.Beams.Span[0].PeakCandela / 0.16, light.Lux, 1e-4);
        var lamp = Of(Rooms.Lamp(new Vector3(0, -8, 1)) with { StartDistance = 0.2f });
        Assert.True(Find(lamp, 0, Stalls, 1, out light));
        Rooms.Near(10000 / (4 * Math.PI) / 0.04, light.Lux, 1e-4);
        // Its back turned to the box, nothing goes there.
        var back = Of(Rooms.Spot(new Vector3(0, -4.9f, 1), new Vector3(0, 5, 1)));
        Assert.False(Find(back, 0, Stalls, 0, out _));
    }

    [Fact]
    public void What_a_wall_shades_is_left_out_and_what_passes_beside_it_is_found()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, -8, 10), new Vector3(0, -8, 0), beamDegrees: 20, fieldDegrees: 40));
        b.Add(Rooms.Plate(new Vector3(0, -8, 4), 10));
        Assert.False(Find(b.Build(TimeSpan.Zero), 0, Stalls, 0, out _));

        // A plate that covers x < 0: the strongest point left is at the edge of its shadow, x = 0.
        b.Begin();
        b.Add(Rooms.Spot(new Vector3(-0.5f, -8, 10), new Vector3(-0.5f, -8, 0), beamDegrees: 20, fieldDegrees: 40));
        b.Add(Rooms.Plate(new Vector3(-10, -8, 6), 10));
        var m = b.Build(TimeSpan.Zero);
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        // The plate's edge at x = 0, z = 6 throws its shadow's edge to x = -.5 + .5·8/4 = .5 on the top at z = 2.
        Assert.Equal(0.5f, light.Point.X, 0.05f);
        Rooms.Near(Rooms.Meter(m).FromBeamFacing(new(0), new Vector3(0.501f, -8, 2)), light.Lux, 0.02);
    }

    [Fact]
    public void A_hole_of_ten_centimetres_lets_light_in()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, -8, 10), new Vector3(0, -8, 0), beamDegrees: 20, fieldDegrees: 40));
        // Four plates about a hole of 10 × 10 cm at x = .73, y = -7.3.
        var (x, y, h) = (0.73f, -7.3f, 0.05f);
        b.Add(Rooms.Plate(new Vector3(x - 5 - h, y, 2.5f), 5));
        b.Add(Rooms.Plate(new Vector3(x + 5 + h, y, 2.5f), 5));
        b.Add(Rooms.Plate(new Vector3(x, y - 5 - h, 2.5f), 5));
        b.Add(Rooms.Plate(new Vector3(x, y + 5 + h, 2.5f), 5));
        var m = b.Build(TimeSpan.Zero);
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        Assert.Equal(x, light.Point.X, 0.12f);
        Assert.Equal(y, light.Point.Y, 0.12f);
    }

    [Fact]
    public void A_gobo_with_one_small_opening_is_asked_where_it_lets_light_through()
    {
        // 64 texels a side, one group of 2 × 2 open: 3 % of the cone's width.
        var rgb = new byte[3 * 64 * 64];
        foreach (var (column, row) in new[] { (50, 20), (51, 20), (50, 21), (51, 21) })
        {
            rgb.AsSpan(3 * ((row * 64) + column), 3).Fill(255);
        }

        var b = Rooms.Builder();
        b.GoboImages = [new GoboImage { Name = "g", Size = 64, Rgb = rgb, Transmission = 4f / (64 * 64) }];
        b.Add(Rooms.Spot(new Vector3(0, -8, 10), new Vector3(0, -8, 0), beamDegrees: 20, fieldDegrees: 40) with { Gobo = new GoboState(1, 0.7f, 0) });
        var m = b.Build(TimeSpan.Zero);
        Assert.True(Find(m, 0, Stalls, 1, out var light));
        var random = new Random(5);
        var meter = Rooms.Meter(m);
        var most = 0f;
        for (var i = 0; i < 400_000; i++)
        {
            most = MathF.Max(most, meter.FromBeamFacing(new(0), new Vector3(random.NextSingle() * 10 - 5, random.NextSingle() * 6 - 11, 1.9999f)));
        }

        Assert.InRange(light.Lux, most * 0.99f, most * 1.05f);
    }
}

internal static class Facings
{
    /// <summary>Illuminance of a plane turned towards one beam's light, lx.</summary>
    public static float FromBeamFacing(this LightMeter meter, BeamIndex beam, Vector3 point) =>
        BeamPhotometry.Luminance(meter.Facing(beam, point, Vector3.Zero, out _));
}
