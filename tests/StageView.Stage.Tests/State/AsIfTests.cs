using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.State;

/// <summary>Channels that stand at values whatever the levels say: a lamp on a winch that goes down 5 m at 1 m/s.</summary>
public sealed class AsIfTests
{
    private static readonly (FixtureIndex, int, uint)[] HalfWay = [(new FixtureIndex(0), 0, 32768u)];

    private static TimeSpan At(double seconds) => TimeSpan.FromSeconds(seconds);

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void What_stands_as_if_is_there_at_once_at_every_time_and_is_back_at_once(bool history)
    {
        var stage = new StageModel(Rig(), history);
        stage.OnLevels(Universe(1), At(0), TestRig.Levels((3, 255)));
        stage.OnLevels(Universe(1), At(1), TestRig.Levels((1, 255), (2, 255), (3, 255)));
        Assert.Equal(3, Height(stage, 20), 1e-3f);
        stage.StandAsIf(HalfWay, At(20));
        Assert.Equal(5.5f, Height(stage, 20), 1e-3f);

        // Levels that come meanwhile change nothing of it, and what is no part of it follows them.
        stage.OnLevels(Universe(1), At(21), TestRig.Levels((3, 51)));
        Assert.Equal(5.5f, Height(stage, 30), 1e-3f);
        Assert.Equal(.2f, stage.StateOf(new FixtureIndex(1), At(30)).Attributes[0].Target, 1e-3f);
        if (history)
        {
            Assert.Equal(5.5f, Height(stage, .5), 1e-3f);
            Assert.Equal(5.5f, Height(stage, 25), 1e-3f);
        }

        stage.StandAsIf([], At(30));
        Assert.Equal(8, Height(stage, 30), 1e-3f);
        if (history)
        {
            // As if it had never been: half a second after the order the winch is where it ever was then, .25 m down.
            Assert.Equal(8 - .25f, Height(stage, 1 + Math.Sqrt(.25)), .07f);
            Assert.Equal(3, Height(stage, 20), 1e-3f);
        }
    }

    [Fact]
    public void Another_value_takes_its_place_and_the_others_travel_on()
    {
        var stage = new StageModel(Rig());
        stage.OnLevels(Universe(1), At(0), TestRig.Levels());
        stage.OnLevels(Universe(1), At(1), TestRig.Levels((1, 255), (2, 255)));
        var before = Height(stage, 3);
        stage.StandAsIf([(new FixtureIndex(1), 0, 128)], At(3));
        Assert.Equal(before, Height(stage, 3), 1e-5f);
        Assert.Equal(128 / 255f, stage.StateOf(new FixtureIndex(1), At(3)).Attributes[0].Target, 1e-4f);
        stage.StandAsIf([(new FixtureIndex(1), 0, 255)], At(3));
        Assert.Equal(1, stage.StateOf(new FixtureIndex(1), At(3)).Attributes[0].Target, 1e-4f);
    }

    // A state is put aside after 2048 changes, here at 20.47 s, and gone back to from later.
    [Fact]
    public void A_state_that_was_put_aside_before_brings_no_old_value_back()
    {
        var stage = new StageModel(Rig());
        for (var i = 0; i < 2200; i++)
        {
            stage.OnLevels(Universe(1), At(i * .01), TestRig.Levels((1, 255), (2, 255), (3, i % 255)));
        }

        Assert.Equal(3, Height(stage, 22), 1e-3f);
        stage.StandAsIf(HalfWay, At(22));
        Assert.Equal(5.5f, Height(stage, 20.47), 1e-3f);
        Assert.Equal(5.5f, Height(stage, 22), 1e-3f);
        stage.StandAsIf([], At(22));
        Assert.Equal(3, Height(stage, 20.47), 1e-3f);
    }

    // A capture that is paused has no time after the one that is asked for: the open shutter looks back.
    [Fact]
    public void Light_is_there_at_once_for_a_shutter_that_was_open_before()
    {
        var stage = new StageModel(Rig());
        stage.OnLevels(Universe(1), At(0), TestRig.Levels());
        var (lamp, shutter) = (new FixtureIndex(1), At(.02));
        Assert.Equal(0, stage.StateOf(lamp, At(3), shutter).Emitters[0].FluxLumens);
        stage.StandAsIf([(lamp, 0, 255)], At(3));
        Assert.Equal(800, stage.StateOf(lamp, At(3), shutter).Emitters[0].FluxLumens, .5f);
        stage.StandAsIf([], At(3));
        Assert.Equal(0, stage.StateOf(lamp, At(3), shutter).Emitters[0].FluxLumens);
    }

    private static float Height(StageModel stage, double at) => stage.StateOf(new FixtureIndex(1), At(at)).Emitters[0].Position.Z;

    private static RigScene Rig()
    {
        GeometryNode[] winch =
        [
            new() { Index = 0, Name = "drum", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "hook", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TravelZ, 1, 2, 0) },
        ];
        GeometryNode[] globe =
        [
            new()
            {
                Index = 0, Name = "globe", Parent = -1, Pose = Pose.Identity,
                Beam = new BeamData { Kind = BeamKind.Glow, GlobeRadius = .2f, LuminousFlux = 800 },
            },
        ];
        var up = Hang(Profile(winch, [Channel(0, 1, [1, 2], Function("XYZ_Z", 0, 65535, 0, -5))]), 0, pose: Pose.At(1, 2, 8));
        var lamp = Hang(Profile(globe, [Channel(0, 0, [1], Function("Dimmer", 0, 255, 0, 1))]), 1, 1, 3, Pose.Identity) with
        {
            Carrier = new CarrierPart(new FixtureIndex(0), 1),
        };
        return Scene([up, lamp], [], []);
    }
}
