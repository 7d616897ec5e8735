using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Light.Measure;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Aim;

public sealed class MirrorAimTests
{
    private static float Unit(Random r) => ((float)r.NextDouble() * 2) - 1;

    // Round trip: aim at the image point, unfold, and see where the reflected beam lands. 2,000 seeded cases over one and two mirrors,
    // sheets among them.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Aimed_at_the_image_point_the_beam_lands_on_the_target(int bounces)
    {
        var r = new Random(31 + bounces);
        var landed = 0;
        var b = Rooms.Builder();
        for (var k = 0; k < 1000; k++)
        {
            b.Begin();
            var sheet = k % 2 == 0 ? 0.003f : 0;
            b.AddMirror(new Vector3(0, 9, 4), Vector3.Normalize(new Vector3(0.1f * Unit(r), -1, 0.15f * Unit(r))), Vector3.UnitZ, 18, 8, 0.9f, sheet, 1.49f);
            b.AddMirror(new Vector3(9, 0, 4), -Vector3.UnitX, Vector3.UnitZ, 18, 8, 0.9f, sheet, 1.49f);
            b.Add(Rooms.Plate(Vector3.Zero, 20));
            var source = new Vector3(3 * Unit(r), 2 * Unit(r), 5 + Unit(r));
            var target = new Vector3(5 * Unit(r), -3 + (3 * Unit(r)), 0);
            MirrorIndex[] mirrors = bounces == 1 ? [new(0)] : [new(0), new(1)];
            var planes = b.Build(TimeSpan.Zero);
            var meets = new Vector3[bounces];
            if (!MirrorAim.TryPath(planes, source, target, mirrors, meets, out _))
            {
                continue;
            }

            b.Begin();
            foreach (var m in planes.Mirrors.Span)
            {
                b.AddMirror(m, planes.OutlineOf(m.Outline));
            }

            b.Add(Rooms.Plate(Vector3.Zero, 20));
            b.Add(Rooms.Spot(source, MirrorAim.ImageOfTarget(planes, source, target, mirrors), beamDegrees: 2, fieldDegrees: 3));
            var moment = b.Build(TimeSpan.Zero);
            var scene = OcclusionScene.From(moment);
            for (var i = 0; i < moment.Beams.Length; i++)
            {
                var path = moment.MirrorsOf(moment.Beams.Span[i]);
                if (path.SequenceEqual(mirrors) && Landings.TryFind(Rooms.Meter(moment), scene, new BeamIndex(i), out var landing) && landing.OnAxis)
                {
                    landed++;
                    Assert.True(Vector3.Distance(target, landing.Point) < 1e-3f, $"{Vector3.Distance(target, landing.Point)} m off");
                }
            }
        }

        Assert.True(landed > 100, $"{landed} landed");
    }

    // Law of reflection: incidence equals reflection about the bisector (Hecht, Optics).
    [Fact]
    public void A_bisecting_mirror_sends_the_ray_on()
    {
        var (s, p, t) = (new Vector3(-3, 1, 6), new Vector3(0, 4, 5), new Vector3(2, -6, 0));
        var n = MirrorAim.BisectingNormal(s, p, t);
        var on = Vector3.Reflect(Vector3.Normalize(p - s), n);
        Assert.True(Vector3.Distance(on, Vector3.Normalize(t - p)) < 1e-6f);
    }
}
