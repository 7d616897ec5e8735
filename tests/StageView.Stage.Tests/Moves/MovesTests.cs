using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Moves;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Moves;

public sealed class MovesTests
{
    // Pan 100°/s and 200°/s², settling .1 s: 90° take .5 + .4 + .5 s by hand (25° + 40° + 25°), 1.5 s with settling.
    private static readonly RigScene Rig = Scene(Hang(Profile(HeadNodes(pan: new AxisData(AxisMotion.TurnZ, 100, 200, .1f)), HeadChannels())));

    private static byte[] At(double pan, double dimmer) => TestRig.Levels(
        (1, (int)Math.Round((pan + 270) / 540 * 65535) >> 8), (2, (int)Math.Round((pan + 270) / 540 * 65535) & 255), (3, 255), (4, 255),
        (5, (int)(dimmer * 255)));

    [Fact]
    public void A_lit_jump_is_late_by_its_whole_way()
    {
        var move = Assert.Single(Moves((0, 0, 1), (2, 90, 1)));
        Assert.True(move.IsLit);
        Assert.Equal(2, move.Start.TotalSeconds, 3);
        Assert.Equal(3.5, move.Arrival.TotalSeconds, .002);
        Assert.Equal(1.5, move.LateSeconds, .002);
        // Tilted by 130°: 90° of pan are less on the sphere: cos = sin²130°·cos 90° + cos²130°.
        Assert.Equal(Math.Acos(Math.Pow(Math.Cos(130 * Math.PI / 180), 2)) * 180 / Math.PI, move.OffDegrees, .2);
        Assert.False(move.WouldHaveFitted);
    }

    [Fact]
    public void Light_that_comes_up_on_the_way_finds_the_beam_off()
    {
        var move = Assert.Single(Moves((0, 0, 0), (2, 90, 0), (3, 90, 1)));
        Assert.Equal(3, move.LitFrom!.Value.TotalSeconds, 3);
        Assert.Equal(.5, move.LateSeconds, .002);
        Assert.InRange(move.OffDegrees, 10, 20);
        Assert.Equal(3, move.DarkBeforeSeconds, 3);
        Assert.True(move.WouldHaveFitted);
    }

    [Fact]
    public void A_move_in_the_dark_tells_its_spare_time()
    {
        var move = Assert.Single(Moves((0, 0, 0), (2, 90, 0), (6, 90, 1)));
        Assert.False(move.IsLit);
        Assert.Equal(0, move.LateSeconds);
        Assert.Equal(2.5, move.SpareSeconds, .002);
    }

    [Fact]
    public void A_slow_lit_sweep_that_the_axis_can_follow_is_hardly_late()
    {
        var stage = new StageModel(Rig);
        for (var i = 0; i <= 160; i++)
        {
            stage.OnLevels(Universe(1), TimeSpan.FromSeconds(i / 40.0), At(i * .25, 1));
        }

        var move = Assert.Single(stage.FindMoves());
        Assert.Equal(0, move.DarkBeforeSeconds);
        Assert.InRange(move.OffDegrees, .05, 1);
        Assert.InRange(move.LateSeconds, 0, .3);
    }

    private static IReadOnlyList<FixtureMove> Moves(params (double T, double Pan, double Dimmer)[] levels)
    {
        var stage = new StageModel(Rig);
        foreach (var (t, pan, dimmer) in levels)
        {
            stage.OnLevels(Universe(1), TimeSpan.FromSeconds(t), At(pan, dimmer));
        }

        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(10), At(levels[^1].Pan, levels[^1].Dimmer));
        return stage.FindMoves();
    }
}
