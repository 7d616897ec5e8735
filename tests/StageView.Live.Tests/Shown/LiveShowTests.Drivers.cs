using StageView.Live.Terms;

namespace StageView.Live.Tests.Shown;

/// <summary>Who drives a fixture's channels, live and in a capture; and that every seat on the network hears it.</summary>
public sealed partial class LiveShowTests
{
    [Fact]
    public async Task A_fixture_tells_who_drives_it_and_who_loses_live_and_in_the_last_minutes()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var one = new Sender(sacn);
        using var two = new Sender(sacn);
        FixtureCard Card(ISeat seat) => (FixtureCard)seat.Fixture(show.Rig.Fixtures[0].Name).Data!;
        await Becomes(() => Card(show) is { Drives: [{ Fought: false, Sources: [{ Wins: true, Fate: "wins" }] }] }, () => one.Send(10));
        Assert.Null(Card(show).Channels[0].Sent);
        await Becomes(() => Card(show) is { Drives: [{ Fought: true, Sources.Count: 2 }] }, () =>
        {
            one.Send(10);
            two.Send(240);
        });

        // By HTP the higher level wins; a channel of two bytes is told as one value.
        var card = Card(show);
        var wide = card.Channels.First(c => c.Full == 65535);
        Assert.Equal([0x0A0A, 0xF0F0], wide.Sent!.Order());
        var winner = Assert.Single(card.Drives[0].Sources, s => s.Wins);
        Assert.Equal(0xF0F0, wide.Sent![card.Drives[0].Sources.ToList().IndexOf(winner)]);
        Assert.Equal(("test desk", "127.0.0.1", "sACN", 100), (winner.Name, winner.Address, winner.Protocol, winner.Priority));

        // The same in what was recorded, at its end and back where one sent alone; the house still shows the network.
        using var apart = show.Apart();
        Assert.True(apart.OpenLast().Ok);
        await Becomes(() => Card(apart) is { Drives: [{ Fought: true, Sources.Count: 2 }] });
        Assert.True(apart.Seek(0).Ok);
        await Becomes(() => Card(apart) is { Drives: [{ Fought: false, Sources.Count: 1 }] });
        Assert.True(show.TryLook("none") is { Ok: false });
    }

    [Fact]
    public async Task A_seat_apart_on_the_network_takes_the_levels_from_no_other()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var sender = new Sender(sacn);
        await Becomes(() => Level(show) == 200, () => sender.Send(200));
        long Apart(ISeat seat) => ((FixtureCard)seat.Fixture(show.Rig.Fixtures[0].Name).Data!).Channels.First(c => c.Full > 255).Raw >> 8;
        using var apart = show.Apart();
        Assert.Equal(200, Apart(apart));
        await Becomes(() => Level(show) == 90, () => sender.Send(90));
        Assert.Equal(90, Apart(apart));

        // Over a reload of the rig, too; one that left is fed no more.
        await File.AppendAllTextAsync(_copy.File, "\n", TestContext.Current.CancellationToken);
        await Becomes(() => show.Rig.Version == 2);
        await Becomes(() => Level(show) == 70 && Apart(apart) == 70, () => sender.Send(70));
        apart.Dispose();
        await Becomes(() => Level(show) == 60, () => sender.Send(60));
        Assert.Equal(70, Apart(apart));
    }
}
