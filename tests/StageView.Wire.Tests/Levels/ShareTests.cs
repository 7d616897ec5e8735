using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Levels;

/// <summary>
/// What each source wins, of how much, and why not the rest: the merge read backwards. Priorities by E1.31 §6.2.3, loss after 2.5 s (§6.7.1)
/// or, in Art-Net 4, 10 s; per-address priority is common practice, no source.
/// </summary>
public sealed class ShareTests
{
    private UniverseMerger _merger = new(WireSettings.Default);
    private byte _sequence;

    private static TimeSpan At(double seconds) => TimeSpan.FromSeconds(seconds);

    private void Send(double at, int cid, int slots, byte level, byte priority = 100, bool preview = false, bool ends = false, byte startCode = 0,
        ushort sync = 0) =>
        _merger.Receive(At(at), Packets.Console1,
            Packets.Data(cid, 1, ++_sequence, Packets.Levels(slots, level), priority, preview: preview, terminated: ends, startCode: startCode, sync: sync));

    private SourceShare[] Shares() => [.. _merger.Health().Universes.Single().Sources.Select(s => s.Share)];

    [Fact]
    public void One_source_wins_all_that_it_sends()
    {
        Send(0, 1, 24, 7);
        Assert.Equal([new(SourceUse.InForce, 24, 24, UnusedReason.None)], Shares());
    }

    [Fact]
    public void A_higher_priority_takes_the_addresses_it_sends_and_no_more()
    {
        Send(0, 1, 512, 200);
        Send(0, 2, 100, 1, priority: 120);
        Assert.Equal([new(SourceUse.InForce, 412, 512, UnusedReason.None), new(SourceUse.InForce, 100, 100, UnusedReason.None)], Shares());
        Send(1, 2, 512, 1, priority: 120);
        Assert.Equal(new SourceShare(SourceUse.Ignored, 0, 512, UnusedReason.LowerPriority), Shares()[0]);
    }

    [Fact]
    public void A_priority_that_came_with_a_packet_without_levels_counts_from_the_next_levels_on()
    {
        Send(0, 1, 512, 200, priority: 110);
        Send(0, 2, 512, 1);
        Send(.1, 2, 10, 1, priority: 120, startCode: 0x17);
        Assert.Equal([512, 0], Shares().Select(s => s.Wins));
        Send(.2, 2, 512, 1, priority: 120);
        Assert.Equal([0, 512], Shares().Select(s => s.Wins));
        Assert.True(_merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal(1, levels[0]);
    }

    [Fact]
    public void Of_equal_priorities_the_higher_level_wins_and_equal_levels_both_win()
    {
        Send(0, 1, 512, 200);
        Send(0, 2, 512, 100);
        Assert.Equal([new(SourceUse.InForce, 512, 512, UnusedReason.None), new(SourceUse.Ignored, 0, 512, UnusedReason.LowerLevel)], Shares());
        Send(1, 2, 512, 200);
        Assert.Equal([512, 512], Shares().Select(s => s.Wins));
    }

    [Fact]
    public void Where_the_latest_change_takes_precedence_the_older_one_is_ignored()
    {
        _merger = new UniverseMerger(WireSettings.Default with { Tie = TieRule.Ltp });
        Send(0, 1, 512, 200);
        Send(0, 2, 512, 100);
        Assert.Equal([new(SourceUse.Ignored, 0, 512, UnusedReason.OlderLevel), new(SourceUse.InForce, 512, 512, UnusedReason.None)], Shares());
        Send(1, 1, 512, 50);
        Assert.Equal([512, 0], Shares().Select(s => s.Wins));
    }

    [Fact]
    public void Per_address_priorities_are_waited_for_and_zero_sources_nothing()
    {
        _merger = new UniverseMerger(WireSettings.Default with { PerAddressPriority = true });
        Send(0, 1, 512, 200);
        Assert.Equal([new(SourceUse.Ignored, 0, 0, UnusedReason.WaitsForPriorities)], Shares());
        Send(.1, 1, 100, 150, startCode: 0xDD);
        Assert.Equal([new(SourceUse.InForce, 100, 100, UnusedReason.None)], Shares());
        Send(.2, 1, 100, 0, startCode: 0xDD);
        Assert.Equal([new(SourceUse.Ignored, 0, 0, UnusedReason.PrioritiesZero)], Shares());
    }

    [Fact]
    public void The_last_to_go_is_held_until_another_comes()
    {
        Send(0, 1, 512, 200);
        Send(1, 2, 512, 100);
        Send(1.5, 1, 512, 200, ends: true);
        Assert.Equal([new(SourceUse.Gone, 0, 0, UnusedReason.Ended), new(SourceUse.InForce, 512, 512, UnusedReason.None)], Shares());
        _merger.Advance(At(1) + E131Numbers.LossTimeout);
        Assert.Equal(new SourceShare(SourceUse.Held, 512, 512, UnusedReason.Silent), Shares()[1]);
        Assert.True(_merger.SourcesOf(new UniverseAddress(new UniverseNumber(1), 5))[1].Wins);
        Send(9, 3, 512, 1);
        Assert.Equal([SourceUse.Gone, SourceUse.Gone, SourceUse.InForce], Shares().Select(s => s.Use));
    }

    [Fact]
    public void Art_Net_is_heard_for_ten_seconds_after_its_last_packet()
    {
        _merger.Receive(At(0), Packets.Console1, Packets.ArtDmx(0, 0, Packets.Levels(512, 5)));
        _merger.Advance(At(9.9));
        Assert.Equal([new(SourceUse.InForce, 512, 512, UnusedReason.None)], Shares());
        _merger.Advance(At(10));
        Assert.Equal([new(SourceUse.Held, 512, 512, UnusedReason.Silent)], Shares());
    }

    [Fact]
    public void Levels_that_wait_for_their_synchronisation_are_in_force_nowhere_yet()
    {
        _merger.Receive(At(0), Packets.Console1, Packets.Sync(1, 9000, 0));
        Send(.1, 1, 512, 200, sync: 9000);
        Assert.Equal([new(SourceUse.Ignored, 0, 0, UnusedReason.WaitsForSynchronisation)], Shares());
        _merger.Receive(At(.2), Packets.Console1, Packets.Sync(1, 9000, 1));
        Assert.Equal(512, Shares()[0].Wins);
    }

    [Fact]
    public void Refused_preview_is_listed_while_it_is_heard_and_takes_no_room()
    {
        _merger = new UniverseMerger(WireSettings.Default with { AcceptPreview = false, MostSourcesPerUniverse = 2, MostSenders = 2 });
        Send(0, 1, 512, 200, priority: 150, preview: true);
        Send(0, 2, 512, 200, priority: 150, preview: true);
        Send(0, 3, 512, 200, priority: 150, preview: true);
        Assert.Equal([UnusedReason.PreviewRefused, UnusedReason.PreviewRefused], Shares().Select(s => s.Why));
        Assert.False(_merger.TryGetLevels(new UniverseNumber(1), out _));
        Send(1, 4, 512, 7);
        Send(1, 5, 512, 7);
        Assert.Equal([512, 512], Shares().Select(s => s.Wins));
        Send(2, 1, 512, 200, priority: 150, preview: true);
        Assert.Equal([SourceStanding.Live, SourceStanding.Live], _merger.Health().Universes.Single().Sources.Select(s => s.Standing));
        Assert.Equal((4L, 0L), (_merger.Counters.PreviewRefused, _merger.Counters.NoRoom));
    }

    [Fact]
    public void A_desk_that_turns_its_levels_into_preview_is_held_and_said_to_be_refused()
    {
        _merger = new UniverseMerger(WireSettings.Default with { AcceptPreview = false });
        Send(0, 1, 512, 200);
        for (var t = .5; t < 4; t += .5)
        {
            Send(t, 1, 512, 9, preview: true);
        }

        var source = _merger.Health().Universes.Single().Sources.Single();
        Assert.Equal((SourceStanding.Refused, new SourceShare(SourceUse.Held, 512, 512, UnusedReason.PreviewRefused)), (source.Standing, source.Share));
        Send(4, 1, 512, 9);
        Assert.Equal([new(SourceUse.InForce, 512, 512, UnusedReason.None)], Shares());
        _merger.Advance(At(20));
        Assert.Equal(SourceStanding.Lost, _merger.Health().Universes.Single().Sources.Single().Standing);
    }

    [Fact]
    public void Refused_preview_that_is_gone_is_no_longer_listed()
    {
        _merger = new UniverseMerger(WireSettings.Default with { AcceptPreview = false });
        Send(1, 1, 512, 200, preview: true);
        Assert.Single(Shares());
        _merger.Advance(At(1) + E131Numbers.LossTimeout);
        Assert.Empty(Shares());
    }
}
