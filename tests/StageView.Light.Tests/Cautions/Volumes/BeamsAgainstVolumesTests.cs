using System.Numerics;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Cautions.Volumes;

/// <summary>
/// The search against dense sampling with the meter: whatever a sample finds in a volume, the search must have found, and as strong. The samples lie on
/// rays all over the cone and its rim, where they cross the box.
/// </summary>
public sealed class BeamsAgainstVolumesTests
{
    private const int Seed = 20_251;

    [Fact]
    public void Ten_thousand_random_beams_and_boxes_none_missed()
    {
        var random = new Random(Seed);
        var (met, missed, shaded, doubtful) = (0, new List<string>(), 0, 0);
        for (var k = 0; k < 10_000; k++)
        {
            var (moment, volume, kind) = Case(random);
            var meter = new LightMeter(moment, kind is 2 or 3 ? OcclusionScene.From(moment) : null);
            for (var beam = 0; beam < moment.Beams.Length; beam++)
            {
                var (most, at) = Sampled(meter, beam, volume, random);
                var least = 0.5f;
                var found = BeamSearch.TryFind(meter, beam, volume, least, out var light);
                met += found ? 1 : 0;
                shaded += found && kind is 2 or 3 ? 1 : 0;
                if (most > least * 1.001f && (!found || most > MathF.Max(light.Lux * (1 + BeamSearch.Tolerance), light.AtMostLux) * 1.001f))
                {
                    missed.Add($"case {k}, kind {kind}, beam {beam}: sampled {most} lx at {at}, found {found} {light}");
                }

                // What is found is really there: a hair further along the ray the meter reads it too.
                if (found && light.Lux > 0)
                {
                    Assert.True(volume.Holds(light.Point, 2e-3f), $"case {k}: {light.Point} lies outside");
                    ref readonly var b = ref moment.Beams.Span[beam];
                    if (Vector3.Distance(light.Point, b.Apex) > 0.3f)
                    {
                        doubtful += Seen(meter, beam, b, light) ? 0 : 1;
                    }
                }
            }
        }

        Assert.True(missed.Count == 0, $"{missed.Count} missed: {string.Join('\n', missed.Take(5))}");
        Assert.InRange(met, 4000, 20_000);
        Assert.True(doubtful <= 5, $"{doubtful} points where the meter reads less");
        Assert.True(shaded > 300, $"{shaded} met behind obstacles");
    }

    private static bool Seen(LightMeter meter, int beam, in Beam b, VolumeLight light)
    {
        var direction = Vector3.Normalize(light.Point - b.Apex);
        var inwards = Vector3.Normalize(b.Axis - (direction * Vector3.Dot(direction, b.Axis)) + (direction * 1e-9f));
        var best = meter.FromBeamFacing(new(beam), light.Point + (direction * 1e-4f));
        // On the very edge of a window, a gobo or a shadow, rounding decides: look closely about.
        for (var i = 0; i < 24 && best < 0.9f * light.Lux; i++)
        {
            var off = Vector3.Distance(light.Point, b.Apex) * (i < 8 ? 2e-6f : i < 16 ? 2e-5f : 2e-4f);
            var side = Vector3.Transform(inwards, Quaternion.CreateFromAxisAngle(direction, i * MathF.Tau / 8)) * off;
            best = MathF.Max(best, meter.FromBeamFacing(new(beam), light.Point + (direction * 1e-4f) + side));
        }

        // Faint light at the rim falls to nothing within less than that.
        return best >= 0.5f * light.Lux || light.Lux < 0.02f * b.PeakCandela / Vector3.DistanceSquared(light.Point, b.Apex);
    }

    /// <summary>0: a cone; 1: one with a gobo, web or bare lamp; 2: with obstacles; 3: with mirrors and obstacles.</summary>
    private static (Moment Moment, WatchedVolume Volume, int Kind) Case(Random random)
    {
        var kind = random.Next(4);
        var b = Rooms.Builder();
        var size = new Vector3(Log(random, 0.05f, 12), Log(random, 0.05f, 12), Log(random, 0.05f, 3));
        var volume = new WatchedVolume("v", false, Pose.FromDegrees(Vector(random, 6), random.Next(2) == 0 ? Vector3.Zero : Vector(random, 180)), size);
        var from = Vector(random, 12);
        var towards = volume.Pose.TransformPoint(Vector(random, 1) * size * (random.Next(3) == 0 ? 1.5f : 0.7f));
        var width = Log(random, 0.3f, 90);
        var spot = Rooms.Spot(from, towards == from ? from + Vector3.UnitX : towards, Log(random, 50, 50_000), width,
            width * (1.02f + (random.NextSingle() * 2)))
            with
        { StartDistance = random.Next(3) == 0 ? random.NextSingle() : 0 };
        b.Haze = random.Next(3) == 0 ? new Haze(0.03f, 1, 0.7f) : Haze.None;
        switch (kind)
        {
            case 1:
                Special(random, b, ref spot);
                break;
            case 2 or 3:
                for (var i = 0; i < 4; i++)
                {
                    b.Add(Rooms.Plate(Vector3.Lerp(from, towards, 0.2f + (0.6f * random.NextSingle())) + Vector(random, 1), Log(random, 0.1f, 2),
                        Vector(random, 180)));
                }

                break;
        }

        b.Add(spot);
        if (kind == 3)
        {
            // A mirror in the beam's way that throws it towards the box.
            var at = from + Vector(random, 6);
            b.Begin();
            b.Add(spot with { Axis = Vector3.Normalize(at - from), Up = Vector3.Normalize(Vector3.Cross(at - from, Vector3.UnitX + Vector3.UnitZ)) });
            b.Add(Rooms.Plate(Vector3.Lerp(at, towards, random.NextSingle()) + Vector(random, 1), Log(random, 0.1f, 1), Vector(random, 180)));
            var normal = Vector3.Normalize(Vector3.Normalize(from - at) + Vector3.Normalize(towards - at));
            b.AddMirror(at, normal, Vector3.Normalize(Vector3.Cross(normal, Vector3.UnitX)), Log(random, 0.2f, 3), Log(random, 0.2f, 3));
        }

        return (b.Build(TimeSpan.Zero, 1), volume, kind);
    }

    private static void Special(Random random, MomentBuilder b, ref Beam spot)
    {
        switch (random.Next(3))
        {
            case 0:
                var rgb = new byte[3 * 32 * 32];
                random.NextBytes(rgb);
                for (var i = 0; i < rgb.Length; i += 3)
                {
                    rgb.AsSpan(i, 3).Fill(rgb[i] > 160 ? rgb[i] : (byte)0);
                }

                b.GoboImages = [new GoboImage { Name = "g", Size = 32, Rgb = rgb, Transmission = 0.3f }];
                spot = spot with
                {
                    Gobo = new GoboState(1, random.NextSingle() * 6, random.Next(2) * 0.3f),
                    Frost = random.Next(2) * 0.5f,
                    Iris = 0.5f + (random.NextSingle() / 2)
                };
                break;
            case 1:
                var candela = Enumerable.Range(0, 8).Select(_ =>
                    Enumerable.Range(0, 7).Select(i => i == 6 ? 0 : 100 * random.NextDouble()).ToArray()).ToArray();
                Assert.True(WebBuilder.TryBuild("w", [0, 5, 10, 20, 30, 40, 50], [0, 45, 90, 135, 180, 225, 270, 315], candela, out var web));
                b.Webs = [web!];
                spot = spot with { Profile = WebBuilder.Profile(web!, new(0)) };
                break;
            default:
                spot = spot with { Profile = AngularProfile.Omnidirectional };
                break;
        }
    }

    /// <summary>The strongest of a few hundred samples: rays over the cone and along its rim, at points of their way through the box.</summary>
    private static (float Most, Vector3 At) Sampled(LightMeter meter, int beam, WatchedVolume volume, Random random)
    {
        ref readonly var b = ref meter.Moment.Beams.Span[beam];
        var (most, at) = (0f, Vector3.Zero);
        for (var i = 0; i < 160; i++)
        {
            Vector3 direction;
            if (i % 2 == 0)
            {
                // Towards points on and in the box.
                direction = volume.Pose.TransformPoint(Vector(random, 0.5f) * volume.Size) - b.Apex;
                direction = direction.LengthSquared() < 1e-6f ? b.Axis : Vector3.Normalize(direction);
            }
            else
            {
                var theta = MathF.Min(b.Profile.CutoffRadians, 3) * (i % 4 == 1 ? MathF.Sqrt(random.NextSingle()) : 0.999f);
                var (s, c) = MathF.SinCos(random.NextSingle() * MathF.Tau);
                direction = Vector3.Normalize((b.Axis * MathF.Cos(theta)) + (((b.Right * c) + (b.Up * s)) * MathF.Sin(theta)));
            }

            if (!volume.Crossing(b.Apex, direction, 200, 0, out var from, out var to))
            {
                continue;
            }

            from = MathF.Max(from, 0.02f);
            for (var k = 0; k < 3 && from < to; k++)
            {
                var p = b.Apex + (direction * (from + ((to - from) * (k == 0 ? 1e-4f : random.NextSingle()))));
                var e = meter.FromBeamFacing(new(beam), p);
                (most, at) = e > most ? (e, p) : (most, at);
            }
        }

        return (most, at);
    }

    private static Vector3 Vector(Random random, float half) =>
        new((random.NextSingle() * 2 * half) - half, (random.NextSingle() * 2 * half) - half, (random.NextSingle() * 2 * half) - half);

    private static float Log(Random random, float low, float high) => low * MathF.Pow(high / low, random.NextSingle());
}
