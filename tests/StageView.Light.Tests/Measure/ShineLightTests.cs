using System.Numerics;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Measure;

/// <summary>Light that a shiny floor throws on a point above it.</summary>
public sealed class ShineLightTests(ITestOutputHelper output)
{
    private static readonly Vector3 Lamp = new(0, 0, 6);
    private static readonly Vector3 Spot = new(0, 5, 0);

    private static Moment Floor(float shine, float roughness)
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Rooms.Plate(Vector3.Zero, 20) with { Albedo = Vector3.Zero, Shine = shine, Roughness = roughness });
        b.Add(Rooms.Spot(Lamp, Spot, 10_000, 20, 26));
        return b.Build(TimeSpan.Zero);
    }

    private static Vector3 Thrown(Moment moment, Vector3 point, Vector3 normal)
    {
        var scene = OcclusionScene.From(moment);
        return new LightMeter(moment, scene, null, new MattSolver().Solve(moment)).At(point, normal).Rgb
            - new LightMeter(moment, scene).At(point, normal).Rgb;
    }

    [Fact]
    public void A_polished_floor_gives_what_a_mirror_of_its_fresnel_gives()
    {
        var moment = Floor(0.3f, Gloss.LeastRoughness);
        // In the middle of the mirrored beam: as from the lamp's image below the floor.
        var (image, point) = (Lamp with { Z = -Lamp.Z }, Spot + new Vector3(0, 2.5f, 3));
        var way = point - image;
        var normal = -Vector3.Normalize(way);
        var clear = new LightMeter(moment, null).Facing(new(0), Lamp + ((way with { Z = -way.Z }) * 1f), Vector3.Zero, out _).X;
        var mirrored = clear * Gloss.Fresnel(0.3f, way.Z / way.Length());
        var thrown = Thrown(moment, point, normal).X;
        output.WriteLine($"{thrown} lx beside {mirrored}");
        Assert.InRange(thrown / mirrored, 0.96f, 1.04f);
    }

    [Theory]
    [InlineData(0.04f, 0.3f)]
    [InlineData(0.5f, 0.15f)]
    [InlineData(0.5f, 0.5f)]
    public void A_rough_floor_gives_the_integral_over_it(float shine, float roughness)
    {
        var moment = Floor(shine, roughness);
        var meter = new LightMeter(moment, null);
        foreach (var (point, normal) in ((Vector3, Vector3)[])[(new(0, 9, 1.6f), -Vector3.UnitY), (new(1.5f, 3, 2), -Vector3.UnitZ)])
        {
            double sum = 0;
            const float step = 0.04f;
            for (var y = 0f; y < 12; y += step)
            {
                for (var x = -5f; x < 5; x += step)
                {
                    var at = new Vector3(x, y, 0);
                    var lit = meter.At(at, Vector3.UnitZ).Rgb.X;
                    var to = at - point;
                    var (square, unit) = (to.LengthSquared(), Vector3.Normalize(to));
                    sum += lit * Gloss.Of(Vector3.UnitZ, Vector3.Normalize(Lamp - at), -unit, shine, roughness) * Math.Max(0, Vector3.Dot(normal, unit))
                        * -unit.Z / square * step * step;
                }
            }

            var thrown = Thrown(moment, point, normal).X;
            output.WriteLine($"{thrown} lx beside {sum}");
            Assert.InRange(thrown / sum, 0.96, 1.04);
        }
    }

    [Fact]
    public void What_stands_between_takes_it_and_the_matt_meter_leaves_it_out()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Rooms.Plate(Vector3.Zero, 20) with { Albedo = Vector3.Zero, Shine = 0.5f, Roughness = 0.1f });
        b.Add(Rooms.Plate(new Vector3(0, 8, 4), 4, new Vector3(90, 0, 0)) with { Albedo = Vector3.Zero });
        b.Add(Rooms.Spot(Lamp, Spot, 10_000, 20, 26));
        var (point, normal) = (new Vector3(0, 9, 1.6f), -Vector3.UnitY);
        Assert.True(Thrown(Floor(0.5f, 0.1f), point, normal).X > 20, "nothing is thrown where nothing stands between");
        Assert.True(Thrown(b.Build(TimeSpan.Zero), point, normal).X < 1, "it comes through a wall");
    }
}
