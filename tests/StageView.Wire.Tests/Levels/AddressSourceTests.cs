using StageView.Wire.Health;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Levels;

/// <summary>Which source wins an address, by the rules of the merge: the highest priority, then HTP; lost after 2.5 s (E1.31 §6.2.3, §6.7.1).</summary>
public sealed class AddressSourceTests
{
    private static readonly UniverseAddress Fifth = new(new UniverseNumber(1), 5);

    [Fact]
    public void The_highest_priority_wins_and_the_others_say_why_not()
    {
        var merger = Heard((1, 120, 40, 512), (2, 100, 200, 512), (3, 150, 10, 4));
        var sources = merger.SourcesOf(Fifth);
        Assert.Equal([("40", true, 120), ("200", false, 100), ("none", false, 0)], sources.Select(s => (s.Level?.ToString() ?? "none", s.Wins, s.Priority)));
    }

    [Fact]
    public void Of_equal_ones_the_highest_level_wins()
    {
        var sources = Heard((1, 100, 40, 512), (2, 100, 200, 512)).SourcesOf(Fifth);
        Assert.Equal([false, true], sources.Select(s => s.Wins));
    }

    [Fact]
    public void A_lost_source_no_longer_wins()
    {
        var merger = Heard((1, 150, 40, 512));
        merger.Receive(TimeSpan.FromSeconds(2), Packets.Console2, Packets.Data(2, 1, 0, Packets.Levels(512, 7)));
        merger.Advance(TimeSpan.FromSeconds(3));
        var sources = merger.SourcesOf(Fifth);
        Assert.Equal([(SourceStanding.Lost, false), (SourceStanding.Live, true)], sources.Select(s => (s.Standing, s.Wins)));
        Assert.Empty(merger.SourcesOf(new UniverseAddress(new UniverseNumber(9), 1)));
    }

    [Fact]
    public void Each_says_why_it_does_not_win()
    {
        var merger = Heard((1, 120, 40, 512), (2, 120, 30, 512), (3, 100, 200, 512), (4, 150, 10, 4));
        var sources = merger.SourcesOf(Fifth);
        Assert.Equal([UnusedReason.None, UnusedReason.LowerLevel, UnusedReason.LowerPriority, UnusedReason.NotSent], sources.Select(s => s.Why));
        Assert.Equal([true, true, false, false], sources.Select(s => s.Fights));
        Assert.Equal(["wins, in a fight", "loses: lower level, in a fight", "loses: lower priority", "doesn't source it: its packets end before"],
            sources.Select(FindingWords.Fate));
    }

    [Fact]
    public void Equal_levels_are_no_fight_and_both_win()
    {
        var sources = Heard((1, 100, 40, 512), (2, 100, 40, 512)).SourcesOf(Fifth);
        Assert.Equal([(true, false), (true, false)], sources.Select(s => (s.Wins, s.Fights)));
    }

    // Start code 0xDD, common practice, no source: a priority for each address, 0 where it is not sourced.
    [Fact]
    public void A_priority_of_the_address_decides_before_that_of_the_packet()
    {
        var merger = new UniverseMerger(WireSettings.Default with { PerAddressPriority = true });
        var priorities = Packets.Levels(512, 150);
        priorities[5] = 0;
        merger.Receive(TimeSpan.Zero, Packets.Console1, Packets.Data(1, 1, 0, priorities, startCode: 0xDD));
        merger.Receive(TimeSpan.Zero, Packets.Console1, Packets.Data(1, 1, 1, Packets.Levels(512, 10)));
        merger.Receive(TimeSpan.Zero, Packets.Console2, Packets.Data(2, 1, 0, Packets.Levels(512, 0), startCode: 0xDD));
        merger.Receive(TimeSpan.Zero, Packets.Console2, Packets.Data(2, 1, 1, Packets.Levels(512, 200), priority: 199));
        merger.Receive(TimeSpan.Zero, Packets.Console2, Packets.Data(3, 1, 0, Packets.Levels(512, 90), priority: 140));
        merger.Advance(TimeSpan.FromSeconds(1.6));
        var all = merger.SourcesOf([Fifth, new UniverseAddress(new UniverseNumber(1), 6), new UniverseAddress(new UniverseNumber(7), 1)]);
        Assert.Equal([(true, 150, true), (false, 0, true), (false, 140, false)], all[0].Select(s => (s.Wins, s.Priority, s.PerAddressPriority)));
        Assert.Equal([UnusedReason.PrioritiesZero, UnusedReason.PrioritiesZero, UnusedReason.None], all[1].Select(s => s.Why));
        Assert.Empty(all[2]);
    }

    private static UniverseMerger Heard(params (int Cid, byte Priority, byte Level, int Slots)[] sources)
    {
        var merger = new UniverseMerger(WireSettings.Default);
        foreach (var (cid, priority, level, slots) in sources)
        {
            merger.Receive(TimeSpan.Zero, Packets.Console1, Packets.Data(cid, 1, 0, Packets.Levels(slots, level), priority));
        }

        return merger;
    }
}
