using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Stage.Looks;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Heads;

/// <summary>
/// Aiming by way of mirrors, against the law of reflection (Hecht, Optics, "The Law of Reflection"; from memory): equal angles, in one plane with the normal.
/// </summary>
public sealed class MirrorAimTests
{
    private static readonly MirrorSurface Bare = new(.9f, 0, 1);

    [Fact]
    public void Aimed_by_a_mirror_the_bounced_beam_passes_the_target()
    {
        // A wall of mirror at y = 5 that faces downstage.
        var mirror = new MirrorPiece { Name = "rear 1", Corners = [new(-3, 5, 1), new(3, 5, 1), new(3, 5, 8), new(-3, 5, 8)], Surface = Bare };
        var rig = Scene([Head()], [], [mirror]);
        var problems = new List<RigProblem>();
        var levels = LookFile.Read(rig, """{ "set": [ { "fixtures": "all", "dimmer": 1, "aim": { "mirror": "rear", "to": [1.5, -4, 2] } } ] }""", problems);
        Assert.Empty(problems);
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        var bounced = stage.MomentAt(TimeSpan.Zero).Beams.ToArray().Single(b => b.Bounces == 1);
        var target = new Vector3(1.5f, -4, 2);
        var along = Vector3.Dot(target - bounced.Apex, bounced.Axis);
        // Sixteen bits of pan and tilt leave a millimetre or two at fifteen metres.
        Assert.True(Vector3.Distance(bounced.Apex + (bounced.Axis * along), target) < .003f);

        LookFile.Read(rig, """{ "set": [ { "fixtures": "all", "aim": { "mirror": "rear", "to": [40, -4, 2] } } ] }""", problems);
        Assert.Contains("can't reach 40, -4, 2 by the mirror named rear", problems[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_turned_mirror_sends_light_from_one_point_to_another()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "yoke", Parent = -1, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnZ, 0, 0, 0) },
            new()
            {
                Index = 1, Name = "panel", Parent = 0, Pose = Pose.At(0, 0, -.5f), Axis = new AxisData(AxisMotion.TurnX, 0, 0, 0),
                Mirror = new MirrorData([new(-.4f, -.4f, 0), new(.4f, -.4f, 0), new(.4f, .4f, 0), new(-.4f, .4f, 0)], Bare),
            },
        ];
        var fixture = Hang(Profile(nodes, [
            Channel(0, 0, [1, 2], Function("Pan", 0, 65535, -180, 180)), Channel(1, 1, [3, 4], Function("Tilt", 0, 65535, -190, 190))]));
        Vector3 from = new(3, 6, 8), to = new(-5, -9, 1);
        var turned = PanTilt.TurnMirror(fixture, from, to)[0];
        var encoder = new LevelsEncoder(Scene(fixture));
        Assert.True(encoder.TrySet(fixture, "Pan", turned.PanDegrees, out _) && encoder.TrySet(fixture, "Tilt", turned.TiltDegrees, out _));
        var stage = new StageModel(Scene(fixture));
        encoder.SendTo(stage, TimeSpan.Zero);
        var m = stage.MomentAt(TimeSpan.Zero);
        var corners = m.OutlineOf(m.Mirrors.Span[0].Outline);
        var middle = (corners[0] + corners[2]) / 2;
        var reflected = Vector3.Reflect(Vector3.Normalize(middle - from), m.Mirrors.Span[0].Normal);
        Assert.True(Vector3.Dot(reflected, Vector3.Normalize(to - middle)) > 1 - 1e-6f);
        Assert.True(Vector3.Dot(m.Mirrors.Span[0].Normal, from - middle) > 0);
    }
}
