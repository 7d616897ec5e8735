using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Beams;

/// <summary>Framing blades as numbers.</summary>
public sealed class BladeSamplingTests
{
    /// <summary>10 m up, straight down; on the floor its own +X is <see cref="Beam.Right"/>.</summary>
    private static Beam Down => Rooms.Spot(new Vector3(0, 0, 10), Vector3.Zero, 10_000, 30, 33);

    private static Blades Sharp(params Vector3[] edges) => new(edges.Length, edges[0], edges.ElementAtOrDefault(1), edges.ElementAtOrDefault(2),
        edges.ElementAtOrDefault(3), 0, 1);

    private static (Landing Landing, Footprint Print, Moment Moment) Land(Beam beam)
    {
        var b = Rooms.Builder();
        b.Add(beam);
        b.Add(Rooms.Plate(Vector3.Zero, 20));
        var m = b.Build(TimeSpan.Zero);
        var meter = Rooms.Meter(m);
        Assert.True(Landings.TryFind(meter, OcclusionScene.From(m), new BeamIndex(0), out var landing));
        return (landing, Footprints.Of(meter, landing), m);
    }

    /// <summary>Share of a disc of unit radius on one side of a line at x from its middle: the segment's area (plane geometry).</summary>
    [Fact]
    public void A_soft_edge_falls_as_a_disc_before_a_straight_edge_does()
    {
        const float soft = 0.02f;
        var beam = Down with { Blades = Sharp(new Vector3(1, 0, 0.05f)) with { Softness = soft } };
        for (var x = -1.2f; x <= 1.2f; x += 0.05f)
        {
            var at = Vector3.Normalize(beam.Axis + (beam.Right * (0.05f - (x * soft))));
            var c = Math.Clamp(x, -1, 1);
            var disc = .5 + (((c * Math.Sqrt(1 - (c * c))) + Math.Asin(c)) / Math.PI);
            Assert.Equal(disc, BladeSampling.Transmission(beam, at, 10), .013);
        }
    }

    /// <summary>The disc's radius as an angle is the lens's radius times |1/f - 1/z| (thin lens).</summary>
    [Theory]
    [InlineData(10, 0)]
    [InlineData(5, .01f)]
    [InlineData(1e9f, .01f)]
    public void Focus_makes_an_edge_soft_before_and_behind_it(float metres, float soft)
    {
        var beam = Down with { ApertureRadius = .1f, FocusDistance = 10, Blades = Sharp(new Vector3(1, 0, 0)) };
        Assert.Equal(MathF.Max(soft, BladeSampling.Sharpest), BladeSampling.SoftnessAt(beam, metres), 1e-5f);
        Assert.Equal(.3f, BladeSampling.SoftnessAt(beam with { Blades = beam.Blades with { MostSoftness = .3f } }, .06f), 1e-5f);
    }

    [Fact]
    public void A_blade_through_the_axis_halves_the_flux_and_two_quarter_it()
    {
        var m = Land(Down).Moment;
        Rooms.Near(5000, BeamFlux.Passing(m, Down with { Blades = Sharp(new Vector3(1, 0, 0)) }), 2e-3);
        Rooms.Near(2500, BeamFlux.Passing(m, Down with { Blades = Sharp(new Vector3(1, 0, 0), new Vector3(0, 1, 0)) }), 2e-3);
    }

    /// <summary>Four blades .1 and .05 off the axis leave 2 m by 1 m at 10 m; what lands there is what passes.</summary>
    [Fact]
    public void Four_blades_leave_a_rectangle()
    {
        var framed = Down with { Blades = Sharp(new(1, 0, .1f), new(-1, 0, .1f), new(0, 1, .05f), new(0, -1, .05f)) };
        var (_, print, m) = Land(framed);
        Rooms.Near(2, print.Area, 1e-3);
        Rooms.Near(Math.Sqrt(5), print.Length, 1e-3);
        Rooms.Near(BeamFlux.Passing(m, framed), print.MeanLux * print.Area, 3e-3);
        Assert.Equal(96, Land(Down).Print.Outline.Length);

        var meter = Rooms.Meter(m);
        double sum = 0;
        for (var i = 0; i < 200 * 200; i++)
        {
            var p = new Vector3(((i % 200) - 99.5f) * .02f, ((i / 200) - 99.5f) * .02f, 0);
            sum += meter.At(p, Vector3.UnitZ).Lux * .0004;
        }

        Rooms.Near(sum, BeamFlux.Passing(m, framed), 2e-3);
    }

    /// <summary>The right blade takes away what lies to the right, looking along the beam with its own up on top.</summary>
    [Fact]
    public void A_blade_covers_its_own_side_and_the_landing_moves_away_from_it()
    {
        var beam = Down with { Blades = Sharp(new Vector3(1, 0, -.05f)) };
        var (landing, _, m) = Land(beam);
        Assert.Equal(Vector3.Cross(beam.Axis, beam.Up), beam.Right);
        var meter = Rooms.Meter(m);
        Assert.Equal(0, meter.At(beam.Right * .3f, Vector3.UnitZ).Lux);
        Assert.True(meter.At(beam.Right * -1f, Vector3.UnitZ).Lux > 10);
        Assert.False(landing.OnAxis);
        Assert.True(Vector3.Dot(landing.Point, beam.Right) < -.5f, $"{landing.Point}");
        Assert.True(landing.CentreLux > 10);
        Assert.True(Land(Down).Landing.OnAxis);
    }

    /// <summary>Reflection in a plane: what a mirror throws onto a point is what reaches that point's image without the mirror.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_mirror_hands_blades_and_forms_on(bool rectangle)
    {
        var spot = Rooms.Spot(new Vector3(-2, 0, 5), new Vector3(0, 6, 3), 10_000, 20, 22);
        var beam = spot with
        {
            Profile = rectangle ? AngularProfile.FromTwoAngles(BeamForm.Rectangle, new Vector2(.4f, .2f), 1.2f) : spot.Profile,
            Blades = Sharp(new(.8f, .6f, .02f), new(0, -1, .06f)) with { Softness = .01f },
        };
        var b = Rooms.Builder();
        b.Add(beam);
        var direct = new LightMeter(b.Build(TimeSpan.Zero), null);
        var mirrored = Rooms.Builder();
        mirrored.Add(beam);
        mirrored.AddMirror(new Vector3(0, 6, 3), -Vector3.UnitY, Vector3.UnitZ, 20, 20, .9f);
        var m = mirrored.Build(TimeSpan.Zero);
        Assert.Equal(2, m.Beams.Length);
        var meter = new LightMeter(m, null);
        var (lit, dark) = (0, 0);
        for (var i = 0; i < 400; i++)
        {
            var p = new Vector3(((i % 20) * .2f) - .5f, 2, ((i / 20) * .2f) - .5f);
            var image = p with { Y = 12 - p.Y };
            var expected = .9f * direct.At(image, -Vector3.UnitY).Lux;
            var seen = meter.At(p, Vector3.UnitY).Reflected;
            Assert.Equal(expected, seen, 1e-3f * MathF.Max(1, expected));
            (lit, dark) = (lit + (seen > 1 ? 1 : 0), dark + (seen == 0 ? 1 : 0));
        }

        Assert.True(lit > 20 && dark > 20, $"{lit} lit, {dark} dark");
    }
}
