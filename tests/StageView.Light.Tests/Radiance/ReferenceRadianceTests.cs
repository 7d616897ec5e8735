using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Radiance;

public sealed class ReferenceRadianceTests
{
    // With even intensity, g = 0 and scattering without extinction on the way, L = σs·I·Δφ/(4πD) exactly (equi-angular substitution, Kulla and
    // Fajardo 2012). Extinction can't be zero while scattering isn't, so σ is tiny and the path short: the error is below 1e-4.
    [Theory]
    [InlineData(1, -4, 6)]
    [InlineData(0.1, -4, 6)]
    [InlineData(3, 1, 2)]
    public void The_exact_case(float distance, float from, float to)
    {
        const float sigma = 1e-6f;
        var b = new MomentBuilder { Haze = new Haze(sigma, 1, 0) };
        b.Add(Rooms.Lamp(Vector3.Zero));
        var m = b.Build(TimeSpan.Zero);
        var i = 10000 / (4 * Math.PI);
        var expected = sigma * i * (Math.Atan(to / distance) - Math.Atan(from / distance)) / (4 * Math.PI * distance);
        var l = new ReferenceRadiance(m).Along(new Vector3(from, distance, 0), Vector3.UnitX, to - from);
        Rooms.Near(expected, l.Y, 1e-4);
    }

    // The same integral by 200,000 midpoints of the unclipped ray, written out again from the definition.
    [Fact]
    public void A_spot_with_a_lobe_and_extinction_equals_brute_force()
    {
        var haze = new Haze(0.03f, 0.9f, 0.7f);
        var b = new MomentBuilder { Haze = haze };
        var beam = Rooms.Spot(new Vector3(0, 0, 6), new Vector3(1, 3, 0), beamDegrees: 12, fieldDegrees: 20) with
        {
            StartDistance = 0.4f,
            Colour = new Vector3(1.2f, 0.95f, 0.9f)
        };
        b.Add(beam);
        var m = b.Build(TimeSpan.Zero);
        var r = new Random(1);
        var lit = 0;
        for (var k = 0; k < 40; k++)
        {
            var eye = new Vector3(-6 + (2 * (float)r.NextDouble()), -4, 1.5f);
            var target = Vector3.Lerp(beam.Apex, new Vector3(1, 3, 0), (float)r.NextDouble()) + (new Vector3((float)r.NextDouble() - 0.5f) * 0.8f);
            var d = Vector3.Normalize(target - eye);
            double brute = 0;
            const int n = 200_000;
            const double far = 20;
            for (var i = 0; i < n; i++)
            {
                var t = (i + 0.5) * far / n;
                var x = eye + (d * (float)t) - beam.Apex;
                double distance = x.Length();
                var w = x / (float)distance;
                var cos = Vector3.Dot(w, beam.Axis);
                if (cos * distance < 0.4)
                {
                    continue;
                }

                var theta = Math.Atan2(Vector3.Cross(w, beam.Axis).Length(), cos);
                var mu = -Vector3.Dot(w, d);
                var phase = (1 - 0.49) / (4 * Math.PI * Math.Pow(1.49 - (1.4 * mu), 1.5));
                brute += 0.027 * phase * m.Beams.Span[0].PeakCandela * beam.Profile.At((float)theta) / (distance * distance)
                    * Math.Exp(-0.03 * (t + Math.Max(0, distance - 0.4))) * far / n;
            }

            var l = new ReferenceRadiance(m).Along(eye, d, (float)far);
            if (brute > 1)
            {
                lit++;
                Rooms.Near(brute * 0.95, l.Y, 1e-3);
                Rooms.Near(brute * 1.2, l.X, 1e-3);
            }
            else
            {
                Assert.True(l.Y < 1.2);
            }
        }

        Assert.True(lit > 15, $"only {lit} lit rays");
    }

    [Fact]
    public void A_reflected_beam_glows_only_in_front_of_its_mirror_and_inside_its_clip()
    {
        var b = Rooms.Builder();
        b.Haze = new Haze(0.02f, 1, 0);
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4)));
        b.AddMirror(new Vector3(0, 5, 4), Vector3.Normalize(new Vector3(0, -1, -1)), Vector3.Normalize(new Vector3(0, -1, 1)), 0.3f, 0.3f);
        var m = b.Build(TimeSpan.Zero);
        var reference = new ReferenceRadiance(m);
        // Along -x at y = 5, z = 2: the reflected beam falls through there; its clip is .15 m half wide at 5 m, .21 m at 7 m.
        Assert.True(reference.FromBeam(new BeamIndex(1), new Vector3(-5, 5, 2), Vector3.UnitX, 10).Y > 0);
        Assert.Equal(0, reference.FromBeam(new BeamIndex(1), new Vector3(-0.26f, 5.3f, 2), -Vector3.UnitY, 2).Y);
        Assert.True(reference.FromBeam(new BeamIndex(1), new Vector3(-0.16f, 5.3f, 2), -Vector3.UnitY, 2).Y > 0);
        // Behind the mirror, where the image apex lies, there is nothing.
        Assert.Equal(0, reference.FromBeam(new BeamIndex(1), new Vector3(-5, 5, 6), Vector3.UnitX, 10).Y);
    }

    [Fact]
    public void A_plate_throws_a_shadow_into_the_haze()
    {
        var b = Rooms.Builder();
        b.Haze = new Haze(0.02f, 1, 0);
        b.Add(Rooms.Spot(new Vector3(0, 0, 8), Vector3.Zero));
        b.Add(Rooms.Plate(new Vector3(0, 0, 5), 2));
        var m = b.Build(TimeSpan.Zero);
        var scene = OcclusionScene.From(m);
        Assert.True(new ReferenceRadiance(m, scene).Along(new Vector3(-5, 0, 6), Vector3.UnitX, 10).Y > 0);
        Assert.Equal(0, new ReferenceRadiance(m, scene).Along(new Vector3(-5, 0, 3), Vector3.UnitX, 10).Y);
        Assert.True(new ReferenceRadiance(m).Along(new Vector3(-5, 0, 3), Vector3.UnitX, 10).Y > 0);
    }
}
