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
        Assert.InRange(late[0].From, 3, 3.1);
        Assert.InRange(late[0].To, 3.35, 3.5);
        Assert.Empty(Compare(Show, t => Show(t - 0.5), TimeMap.Later(0.5)));
    }

    private static byte[] Levels(int pan, int dimmer) => TestRig.Levels((1, pan), (3, 128), (5, dimmer), (6, dimmer));

    private static IReadOnlyList<Parting> Compare(Func<double, byte[]> first, Func<double, byte[]> second, TimeMap? map = null)
    {
        var comparison = new ShowComparison(Some(first), Some(second), map ?? TimeMap.Same, ShowTolerance.Usual);
        for (var i = 0; i <= 120; i++)
        {
            comparison.Look(i * 0.05, 0.05);
        }

        return comparison.Finish();
    }

    /// <summary>A packet a little late, half as many packets: a recording of the same show. One coarse level for a tenth of a second: another show.</summary>
    [Fact]
    public void A_recording_with_jitter_or_fewer_packets_passes_and_one_level_for_a_tenth_does_not()
    {
        static byte[] Show(double t) => Levels((int)(128 + (40 * Math.Sin(t * 2))), (int)(255 * Math.Clamp(t - 2, 0, 1)));
        Assert.Empty(Compare(Show, t => Show(Math.Max(0, t - 0.001 - (0.004 * ((int)(t * 40) % 3))))));
        Assert.Empty(Compare(Show, t => Show(Math.Floor(t * 20) / 20)));
        var one = Assert.Single(Compare(Show, t => t is >= 4 and < 4.1 ? Levels(Show(t)[0], 254) : Show(t)));
        Assert.Equal("Dimmer", one.Attribute);
        Assert.InRange(one.From, 3.95, 4.05);
    }

    private static StageModel[] Some(Func<double, byte[]> show) => [.. ShowTolerance.Usual.Around(0).Select(_ => Play(show))];

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
