using StageView.Stage.Changes;

namespace StageView.Stage.Tests.Changes;

public sealed class ShowComparisonTests
{
    [Fact]
    public void A_head_that_is_told_another_pan_for_a_while_parts_for_that_while()
    {
        // Pan 16 bit over 540°: 32768 is 0°, 40960 is 67.5°.
        var partings = Compare(t => Levels(128, 200), t => t is >= 2 and < 4 ? Levels(160, 200) : Levels(128, 200));
        var one = Assert.Single(partings);
        Assert.Equal(("fixture 1", "Pan", "deg"), (one.Name, one.Attribute, one.Unit));
        Assert.InRange(one.From, 1.95, 2.1);
        Assert.InRange(one.To, 3.9, 4.05);
        Assert.Equal(67.5, one.Second - one.First, 0.1);
    }

    [Fact]
    public void Equal_shows_never_part_and_a_late_one_parts_unless_its_delay_is_known()
    {
        static byte[] Show(double t) => Levels(128, t >= 3 ? 255 : 0);
        Assert.Empty(Compare(Show, Show));
        var late = Compare(Show, t => Show(t - 0.5));
        Assert.Equal("Dimmer", Assert.Single(late).Attribute);
        Assert.InRange(late[0].From, 2.95, 3.05);
        Assert.InRange(late[0].To, 3.4, 3.5);
        Assert.Empty(Compare(Show, t => Show(t - 0.5), TimeMap.Later(0.5)));
    }

    private static byte[] Levels(int pan, int dimmer) => TestRig.Levels((1, pan), (3, 128), (5, dimmer), (6, dimmer));

    private static IReadOnlyList<Parting> Compare(Func<double, byte[]> first, Func<double, byte[]> second, TimeMap? map = null)
    {
        var comparison = new ShowComparison(Play(first), Play(second), map ?? TimeMap.Same);
        for (var i = 0; i <= 120; i++)
        {
            comparison.Look(i * 0.05, 0.05);
        }

        return comparison.Finish();
    }

    private static StageModel Play(Func<double, byte[]> show)
    {
        var stage = new StageModel(TestRig.Scene(TestRig.Head()));
        for (var tick = 0; tick <= 280; tick++)
        {
            stage.OnLevels(TestRig.Universe(1), TimeSpan.FromSeconds(tick / 40.0), show(tick / 40.0));
        }

        return stage;
    }
}
