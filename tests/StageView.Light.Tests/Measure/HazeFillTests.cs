using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Measure;

/// <summary>
/// Haze that scatters more than once beside a Monte Carlo of our own, in a hall with black walls: packets that throw light straight to the eye's ray and to
/// the receiver from each place where they are scattered.
/// </summary>
public sealed class HazeFillTests(ITestOutputHelper output)
{
    private static readonly Vector3 Eye = new(0, -7, 1.7f);

    private static Moment Hall(float extinction, bool fill = true)
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(extinction, 1, 0.7f, Fill: fill);
        b.Add(Rooms.Plate(Vector3.Zero, 8));
        b.Add(Rooms.Plate(new Vector3(0, 0, 8), 8));
        b.Add(Rooms.Plate(new Vector3(0, 8, 4), 8, new Vector3(90, 0, 0)));
        b.Add(Rooms.Plate(new Vector3(0, -8, 4), 8, new Vector3(90, 0, 0)));
        b.Add(Rooms.Plate(new Vector3(8, 0, 4), 8, new Vector3(0, 90, 0)));
        b.Add(Rooms.Plate(new Vector3(-8, 0, 4), 8, new Vector3(0, 90, 0)));
        b.Add(Rooms.Spot(new Vector3(0, 2, 7.5f), new Vector3(0, 2, 0), 10_000, 19, 23));
        b.Add(Rooms.Spot(new Vector3(-7, -2, 6), new Vector3(6, 5, 3), 6_000, 6, 9));
        return b.Build(TimeSpan.Zero);
    }

    [Theory]
    [InlineData(0.016f, 0.1)]
    [InlineData(0.03f, 0.1)]
    public void Lit_and_dark_parts_are_as_bright_as_light_of_every_order_says(float extinction, double within)
    {
        var moment = Hall(extinction);
        var scene = OcclusionScene.From(moment);
        var fill = new HazeFill(HazeFlights.Of(moment, scene)!);
        var (cells, single) = (fill.Towards(Eye), new ReferenceRadiance(moment, scene));
        // Through the beams, between them and beside them.
        (Vector3 Target, bool Lit)[] looks =
            [(new(0, 2, 5), true), (new(0, 2, 2), true), (new(0, 3, 4.6f), true), (new(-6, 6, 2), false), (new(4, 6, 1), false), (new(2.5f, 4, 7), false)];
        Vector3[] rays = [.. looks.Select(l => Vector3.Normalize(l.Target - Eye))];
        var counted = new Counted(moment, scene, rays, [], 150_000);
        for (var i = 0; i < rays.Length; i++)
        {
            scene.Closest(Eye, rays[i], 100, FixtureIndex.None, out var hit);
            var once = single.Along(Eye, rays[i], hit.Distance).X;
            var more = Along(fill, cells, rays[i], hit.Distance, extinction);
            var ratio = (once + more) / (once + counted.Rays[i]);
            output.WriteLine($"{looks[i]}: once {once:0.0000}, more {more:0.0000} beside {counted.Rays[i]:0.0000}: {ratio:P1}");
            Assert.InRange(ratio, 1 - within, 1 + within);
            Assert.True(looks[i].Lit ? once > counted.Rays[i] : once < counted.Rays[i] / 2, "the ray isn't where it was meant to be");
        }
    }

    [Fact]
    public void The_meter_has_it_where_no_beam_goes()
    {
        var moment = Hall(0.03f);
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        (Vector3 Point, Vector3 Normal)[] places = [(new(4, -2, 1.5f), Vector3.UnitY), (new(-3, 5, 1), Vector3.UnitZ), (new(5, 5, 0.01f), Vector3.UnitZ)];
        var counted = new Counted(moment, scene, [], places, 100_000);
        for (var i = 0; i < places.Length; i++)
        {
            var measured = meter.At(places[i].Point, places[i].Normal).Lux;
            output.WriteLine($"{places[i]}: {measured:0.000} beside {counted.Places[i]:0.000} lx");
            Assert.InRange(measured / counted.Places[i], 0.9, 1.1);
        }

        Assert.Equal(0, new LightMeter(Hall(0.03f, fill: false), scene).At(new Vector3(4, -2, 1.5f), Vector3.UnitY).Lux);
    }

    [Fact]
    public void The_same_moment_gives_the_same_cells()
    {
        float[] Once()
        {
            var moment = Hall(0.03f);
            return [.. new HazeFill(HazeFlights.Of(moment, OcclusionScene.From(moment))!).Towards(Eye).Select(c => c.X)];
        }

        Assert.Equal(Once(), Once());
        var dark = Hall(0.03f, fill: false);
        Assert.Null(HazeFlights.Of(dark, OcclusionScene.From(dark)));
    }

    /// <summary>Between cells by distance, as <c>shaders/include/hazefill.glsl</c>.</summary>
    private static double Along(HazeFill fill, Vector4[] cells, Vector3 direction, float far, float extinction)
    {
        const int steps = 400;
        double sum = 0;
        for (var i = 0; i < steps; i++)
        {
            var t = (i + 0.5f) * far / steps;
            var at = Vector3.Clamp(((Eye + (direction * t) - fill.Low) / fill.Cell) - new Vector3(0.5f), Vector3.Zero,
                new Vector3(fill.Columns - 1.001f, fill.Across - 1.001f, fill.Layers - 1.001f));
            double here = 0;
            for (var k = 0; k < 8; k++)
            {
                var (x, y, z) = ((int)at.X + (k & 1), (int)at.Y + ((k >> 1) & 1), (int)at.Z + (k >> 2));
                here += (1 - Math.Abs(at.X - x)) * (1 - Math.Abs(at.Y - y)) * (1 - Math.Abs(at.Z - z))
                    * cells[(((z * fill.Across) + y) * fill.Columns) + x].X;
            }

            sum += here * Math.Exp(-extinction * t) * far / steps;
        }

        return sum;
    }

    private static Vector3 Turned(Vector3 axis, double cos, double about)
    {
        var u = Vector3.Normalize(Vector3.Cross(axis, Math.Abs(axis.Z) < 0.9f ? Vector3.UnitZ : Vector3.UnitX));
        var sin = Math.Sqrt(Math.Max(0, 1 - (cos * cos)));
        return Vector3.Normalize((axis * (float)cos) + (u * (float)(sin * Math.Cos(about))) + (Vector3.Cross(axis, u) * (float)(sin * Math.Sin(about))));
    }

    /// <summary>
    /// Packets out of the lamps; each place where one is scattered throws what it does straight to each ray and place. Nothing stands between.
    /// </summary>
    private sealed class Counted
    {
        public Counted(Moment moment, OcclusionScene scene, Vector3[] rays, (Vector3 Point, Vector3 Normal)[] places, int packets)
        {
            (Rays, Places) = (new double[rays.Length], new double[places.Length]);
            var (random, haze) = (new Random(11), moment.Haze);
            double[] far = [.. rays.Select(r => scene.Closest(Eye, r, 100, FixtureIndex.None, out var hit) ? (double)hit.Distance : 100)];
            for (var i = 0; i < packets; i++)
            {
                var beam = moment.Beams.Span[i % moment.Beams.Length];
                var wide = 1 - Math.Cos(beam.Profile.CutoffRadians);
                var direction = Turned(beam.Axis, 1 - (wide * random.NextDouble()), random.NextDouble() * Math.Tau);
                var flux = BeamPhotometry.CandelaRgb(moment, beam, direction).X * wide * Math.Tau * moment.Beams.Length / packets;
                var from = beam.Apex;
                for (var order = 0; order < 8 && flux > 0; order++)
                {
                    scene.Closest(from, direction, 100, FixtureIndex.None, out var hit);
                    var taken = 1 - Math.Exp(-haze.ExtinctionPerMetre * hit.Distance);
                    from += direction * (float)(-Math.Log(1 - (taken * random.NextDouble())) / haze.ExtinctionPerMetre);
                    flux *= taken;
                    for (var r = 0; r < rays.Length; r++)
                    {
                        Rays[r] += flux * ToRay(haze, from, direction, rays[r], far[r], random.NextDouble());
                    }

                    for (var p = 0; p < places.Length; p++)
                    {
                        var to = places[p].Point - from;
                        var d = to.Length();
                        Places[p] += flux * ReferenceRadiance.Phase(haze.Anisotropy, Vector3.Dot(direction, to) / d)
                            * Math.Exp(-haze.ExtinctionPerMetre * d) * Math.Max(0, -Vector3.Dot(places[p].Normal, to) / d) / (d * d);
                    }

                    var g = haze.Anisotropy;
                    var part = (1 - (g * g)) / (1 - g + (2 * g * random.NextDouble()));
                    direction = Turned(direction, (1 + (g * g) - (part * part)) / (2 * g), random.NextDouble() * Math.Tau);
                }
            }
        }

        public double[] Rays { get; }

        public double[] Places { get; }

        /// <summary>Scattered again on the ray, somewhere in the angle seen from the first place, which takes the inverse square out.</summary>
        private static double ToRay(Haze haze, Vector3 from, Vector3 direction, Vector3 ray, double far, double chance)
        {
            var closest = (double)Vector3.Dot(from - Eye, ray);
            var off = Math.Max(1e-3, ((Eye + (ray * (float)closest)) - from).Length());
            var (a, b) = (Math.Atan2(-closest, off), Math.Atan2(far - closest, off));
            var t = closest + (off * Math.Tan(a + ((b - a) * chance)));
            var to = Eye + (ray * (float)t) - from;
            var d = to.Length();
            return ReferenceRadiance.Phase(haze.Anisotropy, Vector3.Dot(direction, to) / d)
                * ReferenceRadiance.Phase(haze.Anisotropy, -Vector3.Dot(ray, to) / d)
                * haze.ScatteringPerMetre * Math.Exp(-haze.ExtinctionPerMetre * (d + t)) * (b - a) / off;
        }
    }
}
