using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Seen;

namespace StageView.Light.Tests.Seen;

/// <summary>What each fixture sends along a look, beside the integral that judges pictures.</summary>
public sealed class SeenLightTests
{
    private const float Wide = .002f;
    private static readonly Vector3 s_eye = new(0, -9, 2);

    [Fact]
    public void Haze_and_lit_surfaces_are_the_reference_integrals_and_the_meters()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(.05f, .9f, .5f);
        b.AddBox(10);
        b.Add(Rooms.Spot(new(-5, 2, 7), new(1, 3, 0)) with { Fixture = new FixtureIndex(0), StartDistance = .1f });
        b.Add(Rooms.Spot(new(5, 4, 7), new(-1, 1, 0), 20000, 20, 30) with { Fixture = new FixtureIndex(1) });
        b.Add(Rooms.Lamp(new(0, 5, 3), 3000) with { Fixture = new FixtureIndex(2), StartDistance = .2f });
        var m = b.Build(TimeSpan.Zero);
        var scene = OcclusionScene.From(m);
        // As a picture has it: what haze throws on is seen in the haze alone.
        var (seen, meter) = (new SeenLight(m, scene), new LightMeter(m, scene, MeterSettings.Default with { ThrownForward = false }));
        var (shadowed, open) = (new ReferenceRadiance(m, scene, 1e-4), new ReferenceRadiance(m, null, 1e-4));
        var random = new Random(5);
        for (var n = 0; n < 60; n++)
        {
            var d = Vector3.Normalize(new Vector3(random.NextSingle() - .5f, 1, random.NextSingle() - .4f));
            var look = seen.Along(s_eye, d, Wide);
            Assert.True(scene.Closest(s_eye, d, 100, FixtureIndex.None, out var hit));
            Assert.Equal(0, Vector3.Distance(hit.Point, look.Point!.Value), 1e-3);
            for (var i = 0; i < m.Beams.Length; i++)
            {
                var index = new BeamIndex(i);
                var lamp = m[index].Profile.IsOmnidirectional;
                var haze = BeamPhotometry.Luminance((lamp ? open : shadowed).FromBeam(index, s_eye, d, hit.Distance));
                var surface = meter.FromBeam(index, hit.Point, hit.Normal) * .5f / MathF.PI * meter.HazeOver(hit.Distance);
                var told = look.Shares.FirstOrDefault(s => s.Fixture == m[index].Fixture).Luminance;
                Assert.Equal(haze + surface, told, (.04 * (haze + surface)) + 1e-4);
            }

            Assert.Equal(look.Shares.OrderByDescending(s => s.Luminance), look.Shares);
        }
    }

    [Fact]
    public void Over_a_mirror_the_light_is_that_of_the_eye_behind_it()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(.05f, .9f, 0);
        b.AddMirror(new(0, 4, 2), -Vector3.UnitY, Vector3.UnitZ, 6, 4, .8f);
        b.Add(Rooms.Spot(new(2.5f, -4, 5), new(-1, -3, 0)) with { Fixture = new FixtureIndex(0) });
        var m = b.Build(TimeSpan.Zero);
        var scene = OcclusionScene.From(m);
        var open = new ReferenceRadiance(m, null, 1e-4);
        var image = new Vector3(s_eye.X, 8 - s_eye.Y, s_eye.Z);
        var lit = 0;
        for (var x = -.1f; x < .2f; x += .02f)
        {
            var d = Vector3.Normalize(new Vector3(x, 1, 0));
            var back = d with { Y = -d.Y };
            var whole = BeamPhotometry.Luminance(open.FromBeam(new BeamIndex(0), image, back, 220)) * .8f;
            var before = BeamPhotometry.Luminance(open.FromBeam(new BeamIndex(0), s_eye, d, 13 / d.Y));
            var told = new SeenLight(m, scene).Along(s_eye, d, Wide).Shares.Sum(s => s.Luminance);
            Assert.Equal(whole + before, told, (.05 * (whole + before)) + 1e-4);
            lit += whole > 1e-3 ? 1 : 0;

            // A look that goes over no mirror ends at its face.
            Assert.Equal(before, new SeenLight(m, scene, mirrors: 0).Along(s_eye, d, Wide).Shares.Sum(s => s.Luminance), (.05 * before) + 1e-4);
        }

        Assert.True(lit > 3);
    }

    [Fact]
    public void A_housing_and_a_lens_end_the_look_and_tell_whose_they_are()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.AddBox(10);
        b.Add(Rooms.Plate(new(0, 3, 2), .3f, new(90, 0, 0)) with { Kind = SceneryKind.FixtureBody, Fixture = new FixtureIndex(7) });
        b.Add(Rooms.Spot(new(2, 3, 2), s_eye, 5000) with { Fixture = new FixtureIndex(8), ApertureRadius = .1f });
        var m = b.Build(TimeSpan.Zero);
        var seen = new SeenLight(m, OcclusionScene.From(m));
        Assert.Equal(new FixtureIndex(7), seen.Along(s_eye, Vector3.Normalize(new(.1f, 12, .03f)), Wide).Head);
        Assert.Equal(FixtureIndex.None, seen.Along(s_eye, Vector3.Normalize(new(.1f, 12, 2)), Wide).Head);
        var lens = seen.Along(s_eye, Vector3.Normalize(new Vector3(2, 12, 0)), Wide);
        Assert.Equal(new FixtureIndex(8), lens.Head);

        // A lens is as bright as its intensity over its area (CIE S 017, luminance): no haze is in the way.
        var candela = BeamPhotometry.Luminance(BeamPhotometry.CandelaRgb(m, m.Beams.Span[0], m.Beams.Span[0].Axis));
        Rooms.Near(candela / (Math.PI * .01), lens.Shares[0].Luminance, .01);
    }

    [Fact]
    public void A_lasers_line_spread_over_the_look_keeps_its_light()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(.01f, 1, 0);
        b.Add(new LaserBeam
        {
            Fixture = new FixtureIndex(4), Origin = new(-5, 1, 2), Direction = Vector3.UnitX, Length = 10, FluxLumens = 500, Colour = Vector3.One,
            ApertureMetres = .004f, DivergenceRadians = .001f,
        });
        var m = b.Build(TimeSpan.Zero);
        var seen = new SeenLight(m, OcclusionScene.From(m));
        var (sum, step) = (0.0, 1e-4f);
        for (var a = -.02f; a <= .02f; a += step)
        {
            sum += step * seen.Along(s_eye, Vector3.Normalize(new Vector3(0, 1, a)), Wide).Shares.Sum(s => s.Luminance);
        }

        // Scattered evenly to all sides: flux times scattering over 4 pi, at 10 m square to the line, over 5 m and 10 m of haze.
        Rooms.Near(500 * .01 / (4 * Math.PI) / 10 * Math.Exp(-.01 * 15), sum, .01);
    }

    [Fact]
    public void Pixels_are_seen_as_their_mean_and_light_the_haze_before_them()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Haze = new Haze(.02f, 1, 0);
        var pixels = b.AddSurface(new PixelSurface
        {
            Fixture = new FixtureIndex(3), Origin = new(-1, 3, 3), EdgeU = new(2, 0, 0), EdgeV = new(0, 0, -2), Columns = 2, Rows = 1, Fill = 1,
        });
        (pixels[0], pixels[1]) = (new Vector3(100), new Vector3(300));
        var m = b.Build(TimeSpan.Zero);
        var seen = new SeenLight(m, OcclusionScene.From(m));
        float At(float x) => seen.Along(s_eye, Vector3.Normalize(new Vector3(x, 12, 0)), 1e-4f).Shares.Sum(s => s.Luminance);
        Assert.InRange(At(-.5f), 100 * MathF.Exp(-.24f), 100);
        Assert.InRange(At(.5f), 300 * MathF.Exp(-.24f), 300);
        Assert.InRange(At(1.4f), 1e-3f, 20);
    }
}
