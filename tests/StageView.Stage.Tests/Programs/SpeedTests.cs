using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Motion;
using StageView.Stage.Programs;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>Movement speed (DIN SPEC 15800:2022-02, annex A, PositionMSpeed and its kin): shares, percent, deg/s and seconds of a move.</summary>
public sealed class SpeedTests
{
    private static ChannelFunction Speed(string attribute, float from, float to, string unit = "") =>
        Function(attribute, 0, 255, from, to) with { StatedUnit = unit };

    private static RigScene Rig(ChannelFunction speed, float acceleration = 0) => Scene(Hang(Profile(
        HeadNodes(pan: new AxisData(AxisMotion.TurnZ, 180, acceleration, 0)), HeadChannels(Channel(3, 0, [7], speed)))));

    /// <summary>Where pan is after a second from -270° towards 270°.</summary>
    private static float After(RigScene rig, int speed, double seconds = 1)
    {
        var stage = With(rig, TestRig.Levels((1, 0), (7, speed)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255), (7, speed)));
        return stage.Attribute("Pan", 1 + seconds).Now;
    }

    [Theory]
    [InlineData(0f, 1f, "", 51, 36)]
    [InlineData(0f, 1f, "", 0, 3.6)]
    [InlineData(1f, 0f, "Speed", 0, 180)]
    [InlineData(0f, 100f, "Percent", 51, 36)]
    [InlineData(0f, 100f, "", 51, 36)]
    [InlineData(10f, 120f, "AngularSpeed", 0, 10)]
    [InlineData(0f, 27f, "Time", 170, 30)]
    [InlineData(0f, 27f, "Time", 0, 180)]
    [InlineData(0f, 27f, "Time", 5, 180)]
    [InlineData(20f, 2f, "", 255, 180)]
    public void What_the_value_means(float from, float to, string unit, int level, double degrees) =>
        Assert.Equal(-270 + degrees, After(Rig(Speed("PositionMSpeed", from, to, unit)), level), .06);

    /// <summary>Uniformly accelerated motion both ways: the way is done in the time that is asked for, whatever its length.</summary>
    [Theory]
    [InlineData(540, 8, 200)]
    [InlineData(10, 8, 200)]
    [InlineData(540, 8, 0)]
    public void A_time_is_kept(double way, double seconds, double acceleration)
    {
        var top = SpeedScope.TopFor(way, seconds, acceleration, 500);
        var travel = Travel.To(0, 0, 0, way, top, acceleration);
        Assert.Equal(seconds, travel.ArrivalSeconds, 1e-6);
    }

    [Fact]
    public void A_time_that_is_too_short_is_as_fast_as_it_goes() => Assert.Equal(500, SpeedScope.TopFor(540, 1, 200, 500));

    [Fact]
    public void A_head_that_is_told_to_take_its_time_comes_late()
    {
        var stage = new StageModel(Rig(Speed("PositionMTime", 0, 25.5f, "Time"), 400));
        foreach (var (at, pan) in ((double, int)[])[(0, 100), (1, 200), (1.5, 200), (20, 200)])
        {
            // Another channel changes on the way: the time still counts from the start.
            stage.OnLevels(Universe(1), TimeSpan.FromSeconds(at), TestRig.Levels((1, pan), (3, 200), (5, 255), (6, (int)at), (7, 40)));
        }

        var move = Assert.Single(stage.FindMoves());
        Assert.Equal(5, move.Arrival.TotalSeconds, .01);
        Assert.True(move.LateSeconds > 3.9);
    }

    [Theory]
    [InlineData("ColorWheelSelectMSpeed", "Color1")]
    [InlineData("GoboWheel1MSpeed", "Gobo1")]
    [InlineData("ZoomMSpeed", "Zoom")]
    [InlineData("IrisMSpeed", "Iris")]
    [InlineData("Frost1MSpeed", "Frost1")]
    [InlineData("FocusMSpeed", "Focus1")]
    [InlineData("ColorMixMSpeed", "ColorSub_C")]
    [InlineData("IntensityMSpeed", "Dimmer")]
    [InlineData("GlobalMSpeed", "Zoom")]
    public void What_each_speed_slows(string speed, string attribute)
    {
        var wheel = new Wheel("w", [.. Enumerable.Range(0, 5).Select(i => new WheelSlot($"{i}", new Vector3(1 - (i * .1f))))]);
        var moved = Function(attribute, 0, 255, 1, 5) with { Wheel = attribute is "Color1" or "Gobo1" ? 0 : -1 };
        var profile = Profile(HeadNodes(), [Channel(0, 3, [1], moved), Channel(1, 0, [2], Speed(speed, 0, 25.5f, "Time"))], [wheel]);
        Assert.Equal("s", AttributeCatalog.UnitOf(speed.Replace("Speed", "Time", StringComparison.Ordinal)));
        foreach (var (level, share) in ((int, float)[])[(0, 1), (20, .5f)])
        {
            var stage = With(Scene(Hang(profile)), TestRig.Levels((2, level)));
            stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, level)));
            Assert.Equal(1 + (4 * share), stage.Attribute(attribute, 2).Now, .01f);
        }
    }

    /// <summary>One head's speed is not the other's.</summary>
    [Fact]
    public void A_speed_acts_within_its_own_branch()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "a", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnZ, 100, 0, 0) },
            new() { Index = 2, Name = "b", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnZ, 100, 0, 0) },
        ];
        var profile = Profile(nodes, [Channel(0, 1, [1], Function("Pan", 0, 255, 0, 255)), Channel(1, 2, [2], Function("Pan", 0, 255, 0, 255)),
            Channel(2, 1, [3], Speed("PositionMSpeed", 0, 1))]);
        var stage = With(Scene(Hang(profile)), TestRig.Levels((3, 51)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255), (3, 51)));
        Assert.Equal([20f, 100f], stage.StateOf(0, TimeSpan.FromSeconds(2)).Attributes.Take(2).Select(a => MathF.Round(a.Now, 2)));
    }

    [Theory]
    [InlineData("PositionMSpeed", 20, 2, "", "its range 20 to 2 has no unit; full speed is taken")]
    [InlineData("ZoomMSpeed", 0, 1, "", "the full speed of what it slows is not in the file")]
    [InlineData("GoboWheel1MSpeed", 0, 20, "Time", "nothing here moves that it would slow")]
    public void What_a_file_does_not_say_is_told(string attribute, float from, float to, string unit, string why)
    {
        var told = With(Rig(Speed(attribute, from, to, unit)), TestRig.Levels((7, 10))).Attribute(attribute);
        Assert.Equal(why, told.WhyNot);
        Assert.False(told.IsSimulated);
    }
}
