using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Measure;

/// <summary>
/// The meter in haze beside a Monte Carlo of our own: photons out of a beam, free paths by Beer and Lambert, directions by the inverse of Henyey and
/// Greenstein's distribution (L. G. Henyey and J. L. Greenstein, Astrophysical Journal 93, 70, 1941), scattered as often as it takes, counted where they
/// cross the floor.
/// </summary>
public sealed class ForwardScatterTests(ITestOutputHelper output)
{
    private const float Height = 10;

    [Theory]
    [InlineData(19, 23, 0.016f, 0.025)]
    [InlineData(19, 23, 0.03f, 0.025)]
    [InlineData(8, 12, 0.03f, 0.025)]
    [InlineData(40, 60, 0.03f, 0.055)]
    public void What_haze_throws_forward_is_added(float beam, float field, float extinction, double share)
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(extinction, 1, 0.7f);
        b.Add(Rooms.Spot(new Vector3(0, 0, Height), Vector3.Zero, 10_000, beam, field));
        var moment = b.Build(TimeSpan.Zero);
        var spot = Height * MathF.Tan(moment.Beams.Span[0].Profile.HalfBeamRadians);
        float[] edges = [0, 0.4f * spot, 0.8f * spot, 1.2f * spot, 1.6f * spot];
        var counted = Photons(moment, edges);
        var meter = new LightMeter(moment, null);
        var direct = new LightMeter(moment, null, MeterSettings.Default with { ThrownForward = false });
        for (var ring = 0; ring < counted.Length; ring++)
        {
            var (with, without) = (Mean(meter, edges[ring], edges[ring + 1]), Mean(direct, edges[ring], edges[ring + 1]));
            output.WriteLine($"{ring}: Monte Carlo {counted[ring]:0.00} lx, meter {with / counted[ring]:P1}, without {without / counted[ring]:P1}");
        }

        for (var ring = 0; ring < 2; ring++)
        {
            Assert.InRange(Mean(meter, edges[ring], edges[ring + 1]) / counted[ring], 1 - share, 1 + share);
            Assert.InRange(Mean(direct, edges[ring], edges[ring + 1]) / counted[ring], 0.7, 0.955);
        }

        // About the rim and outside it what is missing or too much is small beside the spot.
        for (var ring = 2; ring < 4; ring++)
        {
            Assert.InRange(Mean(meter, edges[ring], edges[ring + 1]) - counted[ring], -0.03 * counted[0], 0.03 * counted[0]);
        }
    }

    private static double Mean(LightMeter meter, float from, float to)
    {
        const int rings = 40;
        double sum = 0, area = 0;
        for (var i = 0; i < rings; i++)
        {
            var r = from + ((to - from) * (i + 0.5f) / rings);
            sum += r * meter.At(new Vector3(r, 0, 0), Vector3.UnitZ).Lux;
            area += r;
        }

        return sum / area;
    }

    /// <summary>Mean illuminance of rings of the floor, lx.</summary>
    private static double[] Photons(Moment moment, float[] edges)
    {
        var random = new Random(7);
        var beam = moment.Beams.Span[0];
        var (haze, cutoff) = (moment.Haze, beam.Profile.CutoffRadians);
        var landed = new double[edges.Length - 1];
        const int photons = 1_500_000;
        double all = 0;
        for (var i = 0; i < photons; i++)
        {
            // Evenly over the cone's solid angle, each with its intensity.
            var cos = 1 - (random.NextDouble() * (1 - Math.Cos(cutoff)));
            var direction = Turned(-Vector3.UnitZ, cos, random.NextDouble() * Math.Tau);
            double weight = beam.Profile.At((float)Math.Acos(cos));
            all += weight;
            var place = beam.Apex;
            for (var bounce = 0; bounce < 30; bounce++)
            {
                var way = -Math.Log(1 - random.NextDouble()) / haze.ExtinctionPerMetre;
                if (place.Z + (way * direction.Z) < 0)
                {
                    var there = place - (direction * (place.Z / direction.Z));
                    var r = there.Length();
                    for (var ring = 0; ring < landed.Length; ring++)
                    {
                        landed[ring] += r >= edges[ring] && r < edges[ring + 1] ? weight : 0;
                    }

                    break;
                }

                place += direction * (float)way;
                double g = haze.Anisotropy, k = (1 - (g * g)) / (1 - g + (2 * g * random.NextDouble()));
                direction = Turned(direction, (1 + (g * g) - (k * k)) / (2 * g), random.NextDouble() * Math.Tau);
                if (place.LengthSquared() > 60 * 60)
                {
                    break;
                }
            }
        }

        return [.. landed.Select((w, ring) => w / all * beam.FluxLumens / (Math.PI * ((edges[ring + 1] * edges[ring + 1]) - (edges[ring] * edges[ring]))))];
    }

    private static Vector3 Turned(Vector3 about, double cos, double azimuth)
    {
        var side = Vector3.Normalize(Vector3.Cross(about, MathF.Abs(about.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ));
        var other = Vector3.Cross(about, side);
        var sin = Math.Sqrt(Math.Max(0, 1 - (cos * cos)));
        return Vector3.Normalize((about * (float)cos) + (side * (float)(sin * Math.Cos(azimuth))) + (other * (float)(sin * Math.Sin(azimuth))));
    }
}
