using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Unfolding;

public sealed class UnfoldTests
{
    private static Vector3 Direction(Random r)
    {
        Vector3 v;
        do
        {
            v = new Vector3((float)r.NextDouble() - 0.5f, (float)r.NextDouble() - 0.5f, (float)r.NextDouble() - 0.5f);
        }
        while (v.LengthSquared() is < 0.01f or > 0.25f);
        return Vector3.Normalize(v);
    }

    // Property, 500 seeds: mirroring the image once more in the same plane gives the source back, up, axis and handedness too.
    [Fact]
    public void Reflecting_twice_is_the_identity()
    {
        var r = new Random(7);
        for (var k = 0; k < 500; k++)
        {
            var n = Direction(r);
            var up = Vector3.Normalize(Vector3.Cross(n, Direction(r)));
            var centre = Direction(r) * 5;
            var apex = centre + (n * (1 + (float)r.NextDouble() * 8)) + (up * (float)r.NextDouble());
            var b = Rooms.Builder();
            var beam = Rooms.Spot(apex, centre);
            b.Add(beam);
            b.AddMirror(centre, n, up, 2, 2, 1);
            var m = b.Build(TimeSpan.Zero);
            Assert.Equal(2, m.Beams.Length);
            var image = m.Beams.Span[1];
            Assert.True(image.Mirrored);
            Assert.True(Vector3.Distance(Vector3.Reflect(image.Apex - centre, n) + centre, apex) < 1e-4f);
            Assert.True(Vector3.Distance(Vector3.Reflect(image.Axis, n), beam.Axis) < 1e-5f);
            Assert.True(Vector3.Distance(Vector3.Reflect(image.Up, n), beam.Up) < 1e-5f);
            Assert.True(Vector3.Distance(Vector3.Reflect(image.Right, n), beam.Right) < 1e-5f);
        }
    }

    // Property: whatever the mirrors, a clip's points lie on its mirror's outline plane and inside the outline, and inside
    // the cone of every clip before: it never grows.
    [Fact]
    public void A_clip_never_grows()
    {
        var r = new Random(11);
        var reflected = 0;
        for (var k = 0; k < 60; k++)
        {
            var b = Rooms.Builder();
            b.Add(Rooms.Spot(Direction(r) * 4, Direction(r), beamDegrees: 30, fieldDegrees: 50));
            for (var i = 0; i < 6; i++)
            {
                var n = Direction(r);
                b.AddMirror(Direction(r) * (2 + (4 * (float)r.NextDouble())), n, Vector3.Normalize(Vector3.Cross(n, Direction(r))), 3, 2, 1);
            }

            var m = b.Build(TimeSpan.Zero, 4);
            foreach (var beam in m.Beams.Span)
            {
                if (beam.Bounces == 0)
                {
                    continue;
                }

                reflected++;
                var mirror = m[m.LastMirrorOf(beam)];
                var outline = m.OutlineOf(mirror.Outline);
                var clip = m.OutlineOf(beam.Clip);
                Assert.InRange(clip.Length, 3, Outline.MaxVertices);
                var parent = m[beam.Parent];
                Assert.True(ConvexClip.SolidAngle(beam.Apex, clip) <= ConvexClip.SolidAngle(beam.Apex, outline) * 1.0001);
                foreach (var p in clip)
                {
                    Assert.True(MathF.Abs(Vector3.Dot(p - outline[0], mirror.Normal)) < 1e-3f);
                    for (var e = 0; e < outline.Length; e++)
                    {
                        var (a, c) = (outline[e], outline[(e + 1) % outline.Length]);
                        Assert.True(Vector3.Dot(Vector3.Cross(c - a, p - a), mirror.Normal) > -1e-3f);
                    }

                    if (parent.Bounces > 0)
                    {
                        var window = m.OutlineOf(parent.Clip);
                        for (var e = 0; e < window.Length; e++)
                        {
                            var plane = ConvexClip.EdgePlane(parent.Apex, window[e], window[(e + 1) % window.Length]);
                            Assert.True(Vector3.Dot(plane, p - parent.Apex) > -2e-3f);
                        }
                    }
                }

                // Counter-clockwise seen from the lit side.
                var area = Vector3.Zero;
                for (var e = 1; e + 1 < clip.Length; e++)
                {
                    area += Vector3.Cross(clip[e] - clip[0], clip[e + 1] - clip[0]);
                }

                Assert.True(Vector3.Dot(area, mirror.Normal) > 0);
            }
        }

        Assert.True(reflected > 100, $"only {reflected} reflected beams");
    }

    [Fact]
    public void A_source_behind_the_mirror_or_a_mirror_outside_the_cone_gives_no_image()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(Vector3.Zero, Vector3.UnitY));
        b.AddMirror(new Vector3(0, 5, 0), Vector3.UnitY, Vector3.UnitZ, 2, 2);
        b.AddMirror(new Vector3(4, 5, 0), -Vector3.UnitY, Vector3.UnitZ, 2, 2);
        Assert.Equal(1, b.Build(TimeSpan.Zero).Beams.Length);
    }

    [Fact]
    public void A_sliver_below_the_stated_share_is_left_out()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(Vector3.Zero, Vector3.UnitY));
        b.AddMirror(new Vector3(0, 5, 0), -Vector3.UnitY, Vector3.UnitZ, 0.01f, 0.01f);
        Assert.Equal(1, b.Build(TimeSpan.Zero).Beams.Length);
        b.Begin();
        b.Add(Rooms.Spot(Vector3.Zero, Vector3.UnitY));
        b.AddMirror(new Vector3(0, 5, 0), -Vector3.UnitY, Vector3.UnitZ, 0.1f, 0.1f);
        Assert.Equal(2, b.Build(TimeSpan.Zero).Beams.Length);
    }

    [Fact]
    public void A_laser_goes_on_as_legs_with_its_path_carried_along()
    {
        var b = Rooms.Builder();
        b.Add(new LaserBeam
        {
            Fixture = new FixtureIndex(0), Origin = new Vector3(0, 0, 2), Direction = Vector3.UnitY, PowerWatts = 1, FluxLumens = 200, Colour = Vector3.One,
        });
        b.AddMirror(new Vector3(0, 5, 2), Vector3.Normalize(new Vector3(0, -1, -1)), Vector3.Normalize(new Vector3(0, -1, 1)), 1, 1, 0.9f);
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(2, m.Lasers.Length);
        var (one, two) = (m.Lasers.Span[0], m.Lasers.Span[1]);
        Rooms.Near(5, one.Length, 1e-5);
        Assert.True(Vector3.Distance(two.Origin, new Vector3(0, 5, 2)) < 1e-4f);
        Assert.True(Vector3.Distance(two.Direction, -Vector3.UnitZ) < 1e-6f);
        Rooms.Near(2, two.Length, 1e-4);
        Rooms.Near(5, two.PathBefore, 1e-5);
        Rooms.Near(0.9, two.PowerWatts, 1e-6);
    }

    [Fact]
    public void Nothing_is_allocated_in_steady_state()
    {
        var b = Rooms.Builder();
        var r = new Random(3);
        void Frame()
        {
            b.Begin();
            for (var i = 0; i < 30; i++)
            {
                b.Add(Rooms.Spot(new Vector3((i % 10) - 5, -8, 6), new Vector3((i % 7) - 3, 6, 3)));
            }

            for (var i = 0; i < 8; i++)
            {
                b.AddMirror(new Vector3(i - 4, 6, 3), -Vector3.UnitY, Vector3.UnitZ, 1, 2);
            }

            b.Build(TimeSpan.Zero, 2);
        }

        for (var i = 0; i < 6; i++)
        {
            Frame();
        }

        var before = GC.GetAllocatedBytesForCurrentThread();
        Frame();
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
