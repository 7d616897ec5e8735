using System.Numerics;
using StageView.Light.Geometry;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Heads;

public sealed class PanTiltTests
{
    [Theory]
    [InlineData(3, 4, 0)]
    [InlineData(-5, -2, 1.7)]
    [InlineData(0, 8, 9)]
    [InlineData(.2, .1, 0)]
    public void Every_solution_hits_within_half_a_millimetre(float x, float y, float z)
    {
        var fixture = Head() with { Pose = Pose.FromDegrees(new Vector3(1, 2, 6), new Vector3(0, 0, 30)) };
        var target = new Vector3(x, y, z);
        var solutions = PanTilt.Aim(fixture, target);
        Assert.True(solutions.Count >= 2, $"{solutions.Count} solutions");
        foreach (var s in solutions)
        {
            var (position, direction) = PanTilt.Beam(fixture, s.PanDegrees, s.TiltDegrees)!.Value;
            var along = Vector3.Dot(target - position, direction);
            Assert.True(along > 0);
            Assert.True(Vector3.Distance(position + (direction * along), target) < 5e-4f);
            Assert.InRange(s.PanDegrees, -270, 270);
            Assert.InRange(s.TiltDegrees, -130, 130);
        }
    }

    [Theory]
    [InlineData(false, false, false)]
    [InlineData(true, false, false)]
    [InlineData(false, true, true)]
    [InlineData(true, true, true)]
    public void Encoded_and_played_back_the_beam_is_where_it_was_aimed(bool invertPan, bool invertTilt, bool swap)
    {
        var fixture = Head() with
        {
            Pose = Pose.FromDegrees(new Vector3(-2, 3, 7), new Vector3(180, 0, 0)),
            InvertPan = invertPan,
            InvertTilt = invertTilt,
            SwapPanTilt = swap
        };
        var rig = Scene(fixture);
        var target = new Vector3(1, 9, 8.5f);
        var aim = PanTilt.Aim(fixture, target)[0];
        var encoder = new LevelsEncoder(rig);
        Assert.True(encoder.TrySet(fixture, "Pan", aim.PanDegrees, out var why), why);
        Assert.True(encoder.TrySet(fixture, "Tilt", aim.TiltDegrees, out why), why);
        Assert.True(encoder.TrySet(fixture, "Dimmer", 1, out why), why);
        var stage = new StageModel(rig);
        encoder.SendTo(stage, TimeSpan.Zero);
        var b = stage.MomentAt(TimeSpan.Zero).Beams.Span[0];
        // Half a step of 16 bits over 540° is .004°: under a millimetre and a half at ten metres, once in pan and once in tilt.
        var along = Vector3.Dot(target - b.Apex, b.Axis);
        Assert.True(Vector3.Distance(b.Apex + (b.Axis * along), target) < .0015f);
    }

    [Fact]
    public void Limits_of_the_rig_take_solutions_away()
    {
        var fixture = Head();
        var free = PanTilt.Aim(fixture, new Vector3(3, 4, 0)).Count;
        var held = PanTilt.Aim(fixture with { PanLimit = (-45, 45) }, new Vector3(3, 4, 0));
        Assert.True(held.Count < free);
        Assert.All(held, s => Assert.InRange(s.PanDegrees, -45, 45));
    }

    [Fact]
    public void A_value_out_of_range_is_refused_by_name()
    {
        var rig = Scene(Head());
        Assert.False(new LevelsEncoder(rig).TrySet(rig.Fixtures[0], "Tilt", 140, out var why));
        Assert.Equal("fixture 1: Tilt goes from -130 to 130, not to 140", why);
        Assert.False(new LevelsEncoder(rig).TrySet(rig.Fixtures[0], "Zoom", 10, out why));
        Assert.Contains("has no Zoom; it has Pan, Tilt, Dimmer", why, StringComparison.Ordinal);
    }
}
