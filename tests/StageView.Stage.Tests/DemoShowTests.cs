using System.Runtime.InteropServices;
using StageView.Light.Colour;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Wire.Capture;
using StageView.Wire.Levels;

namespace StageView.Stage.Tests;

/// <summary>The demo show: what its capture is said to hold can be found in it.</summary>
public sealed class DemoShowTests
{
    private static readonly string Folder = Repo.File("scenes", "foundry");

    [Fact]
    public void The_mirror_moment_a_pixel_run_a_laser_cue_and_a_globe_move_are_in_it()
    {
        var stage = Played();
        var mirrors = stage.MomentAt(Seconds(18.5)).Beams.ToArray();
        Assert.True(mirrors.Count(b => b.Bounces > 0 && b.FluxLumens > 1000) >= 18);
        // Bounced light crosses the room: towards the audience, over the front of the stage.
        Assert.True(mirrors.Count(b => b.Bounces > 0 && b.FluxLumens > 1000 && b.Axis.Y < -.5f) >= 12);

        var early = Brightest(stage, 11.2);
        var late = Brightest(stage, 12.0);
        Assert.True(late > early + 10, $"the run's front went from column {early} to {late}");

        Assert.Equal(25, stage.MomentAt(Seconds(25)).Lasers.ToArray().Count(l => l.Bounces == 0));
        Assert.Empty(stage.MomentAt(Seconds(12)).Lasers.ToArray());

        float Globe(double t) => stage.MomentAt(Seconds(t)).Beams.ToArray().First(b => b.Profile.IsOmnidirectional && b.Bounces == 0).Apex.Z;
        Assert.True(Globe(5.5) - Globe(10) > 1);
    }

    /// <summary>
    /// Law of reflection (Hecht, Optics, "The Law of Reflection"; from memory): the normal lies half-way between the way to the light and the way to where it
    /// shall go, and on their side.
    /// </summary>
    [Theory]
    [InlineData(3.5, -7, -10, 2.9, -7, -10, 2.9)]
    [InlineData(33.9, 4, -13, 4.6, -4, -13, 4.6)]
    public void The_turning_mirrors_face_the_light_that_they_send_on(double at, float x1, float y1, float z1, float x2, float y2, float z2)
    {
        var moment = Played().MomentAt(Seconds(at));
        System.Numerics.Vector3 light = new(0, 5.6f, 7.8f);
        System.Numerics.Vector3[] goals = [new(x1, y1, z1), new(x2, y2, z2)];
        var turning = moment.Mirrors.ToArray()
            .Where(m => moment.MirrorNames[m.Name.Value].StartsWith("panel ", StringComparison.Ordinal)
                && !moment.MirrorNames[m.Name.Value].StartsWith("panel wall", StringComparison.Ordinal)).ToArray();
        Assert.Equal(2, turning.Length);
        for (var i = 0; i < 2; i++)
        {
            var corners = moment.OutlineOf(turning[i].Outline);
            var middle = (corners[0] + corners[2]) / 2;
            var half = System.Numerics.Vector3.Normalize(
                System.Numerics.Vector3.Normalize(light - middle) + System.Numerics.Vector3.Normalize(goals[i] - middle));
            Assert.True(System.Numerics.Vector3.Dot(turning[i].Normal, half) > .9999f, $"mirror {i + 1} at {at} s");
        }
    }

    /// <summary>
    /// From the furnace on the heads over the turning mirrors stand at full: neither their axes nor rays on the edge of the field meet a volume of people.
    /// Rays against boxes by slabs (Kay and Kajiya, "Ray Tracing Complex Scenes", 1986; from memory).
    /// </summary>
    [Fact]
    public void Heads_at_full_pass_over_the_people()
    {
        var stage = Played();
        var volumes = Rig().Volumes;
        Assert.Equal(3, volumes.Count);
        var rays = 0;
        for (var t = 28.0; t < 33.6; t += .1)
        {
            foreach (var b in stage.MomentAt(Seconds(t)).Beams.ToArray().Where(b => b.Bounces > 0 && b.PeakCandela > 20_000))
            {
                var edge = MathF.Tan(b.Profile.HalfFieldRadians);
                for (var k = 0; k < 9; k++)
                {
                    var (sin, cos) = MathF.SinCos(k * MathF.PI / 4);
                    var d = k == 8 ? b.Axis : System.Numerics.Vector3.Normalize(b.Axis + (edge * ((cos * b.Right) + (sin * b.Up))));
                    var from = b.Apex + (d * b.StartDistance);
                    rays++;
                    foreach (var v in volumes)
                    {
                        var (start, next) = (v.Pose.InverseTransformPoint(from), v.Pose.InverseTransformPoint(from + d));
                        Assert.False(Meets(start, next - start, v.Size / 2), $"fixture {b.Fixture} at {t:0.0} s into {v.Name}");
                    }
                }
            }
        }

        Assert.True(rays > 500, $"only {rays} rays were tried");

        static bool Meets(System.Numerics.Vector3 from, System.Numerics.Vector3 d, System.Numerics.Vector3 half)
        {
            var (near, far) = (0f, float.PositiveInfinity);
            for (var i = 0; i < 3; i++)
            {
                var (a, b) = ((-half[i] - from[i]) / d[i], (half[i] - from[i]) / d[i]);
                (near, far) = (MathF.Max(near, MathF.Min(a, b)), MathF.Min(far, MathF.Max(a, b)));
            }

            return near <= far;
        }
    }

    [Fact]
    public void The_performer_stands_in_front_light()
    {
        var moment = Played().MomentAt(Seconds(3.5));
        var face = new System.Numerics.Vector3(0, 2.45f, 1.6f);
        var lux = 0f;
        foreach (var b in moment.Beams.Span)
        {
            if (b.Bounces == 0 && !b.Profile.IsOmnidirectional)
            {
                var to = face - b.Apex;
                var d = to.Length();
                lux += b.PeakCandela * b.Profile.At(MathF.Acos(System.Numerics.Vector3.Dot(to / d, b.Axis))) / (d * d) * MathF.Max(0, to.Y / d);
            }
        }

        Assert.InRange(lux, 150, 2000);
    }

    [Fact]
    public void Any_frame_of_the_show_alone_is_the_frame_in_the_run()
    {
        var run = new StageModel(Rig());
        using var reader = CaptureReader.Open(Path.Combine(Folder, "foundry.pcapng"));
        var player = new CapturePlayer(reader, new UniverseMerger(new WireSettings(), run));
        var alone = Played();
        for (var t = .5; t < 36; t += .5)
        {
            player.PlayTo(Seconds(t));
            var a = Bytes(run.MomentAt(Seconds(t), Seconds(.02)));
            if ((int)(t * 2) % 9 == 0)
            {
                Assert.Equal(a, Bytes(alone.MomentAt(Seconds(t), Seconds(.02))));
            }
        }
    }

    private static byte[] Bytes(Moment m) =>
    [
        .. MemoryMarshal.AsBytes(m.Beams.Span), .. MemoryMarshal.AsBytes(m.Pixels.Span), .. MemoryMarshal.AsBytes(m.Scenery.Span),
        .. MemoryMarshal.AsBytes(m.Lasers.Span),
        .. MemoryMarshal.AsBytes(m.Mirrors.Span), .. MemoryMarshal.AsBytes(m.Outlines.Span),
    ];

    private static int Brightest(StageModel stage, double t)
    {
        var m = stage.MomentAt(Seconds(t));
        var wall = m.PixelSurfaces.ToArray().Where(s => s.Columns == 10 && s.Rows == 17).ToArray();
        var best = Enumerable.Range(0, wall.Length * 10).MaxBy(c => Enumerable.Range(0, 17)
            .Sum(r => Chromaticity.Luminance(m.Pixels.Span[wall[c / 10].FirstPixel + (r * 10) + (c % 10)])));
        return best;
    }

    private static TimeSpan Seconds(double t) => TimeSpan.FromSeconds(t);

    private static RigScene Rig()
    {
        Assert.True(RigLoader.TryLoad(Path.Combine(Folder, "foundry.rig.jsonc"), out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }

    private static StageModel Played()
    {
        var rig = Rig();
        var stage = new StageModel(rig);
        using var reader = CaptureReader.Open(Path.Combine(Folder, "foundry.pcapng"));
        new CapturePlayer(reader, new UniverseMerger(new WireSettings(), stage)).PlayToEnd();
        return stage;
    }
}
