using StageView.Wire.Capture;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;
using StageView.Wire.Tests.Sockets;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Independent;

/// <summary>Levels that programs of other people send: npm <c>sacn</c>, <c>artnet</c>, <c>dmxnet</c> and <c>e131</c>.</summary>
[Collection("sockets")]
public sealed class SenderTests
{
    private static bool Within(Func<bool> condition) => SpinWait.SpinUntil(condition, TimeSpan.FromSeconds(60));

    private static (byte First, byte Last) Levels(LiveSource live, int universe) =>
        live.Read(m => m.TryGetLevels(new UniverseNumber(universe), out var levels) ? (levels[0], levels[511]) : ((byte)0, (byte)0));

    [Theory]
    [InlineData("sacn-unicast", 7, 7)]
    [InlineData("sacn-multicast", 600, 600)]
    [InlineData("artnet", 8, 9)]
    [InlineData("dmxnet", 0x23, 0x24)]
    public void An_independent_senders_levels_arrive(string kind, int sent, int universe)
    {
        var options = Ports.Options(universe);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var peer = Peers.Send(kind, kind.StartsWith("sacn", StringComparison.Ordinal) ? options.E131Port : options.ArtNetPort, sent, 77);
        Assert.True(Within(() => Levels(live, universe) == (77, 77)));
    }

    [Fact]
    public void An_independent_source_that_terminates_is_gone_at_once_and_its_preview_mark_is_seen()
    {
        var options = Ports.Options(9);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var refusing = LiveSource.Listen(new WireSettings { AcceptPreview = false }, options, null, TimeProvider.System,
            TestContext.Current.CancellationToken);
        using var low = Peers.Send("sacn-multicast", options.E131Port, 9, 33, 100);
        Assert.True(Within(() => Levels(live, 9) == (33, 33)));
        using var peer = Peers.Send("e131", options.E131Port, 9, 44, 150);
        Assert.True(Within(() => Levels(live, 9) == (44, 44)));
        SourceHealth Source() => live.Read(m => m.Health()).Universes.Single().Sources.Single(s => s.Name == "an independent library");
        Assert.Equal((true, SourceStanding.Live, 150), (Source().Preview, Source().Standing, Source().Priority));
        Assert.True(Within(() => refusing.Read(m => m.Counters.PreviewRefused) > 0));
        Assert.Equal((33, 33), Levels(refusing, 9));

        peer.Say("stop");
        Assert.True(Within(() => Source().Standing != SourceStanding.Live));
        // Lost would have taken 2.5 s and be called so.
        Assert.Equal(SourceStanding.Ended, Source().Standing);
        Assert.Equal((33, 33), Levels(live, 9));
    }

    // E1.31-2018 §11.1: levels of a synchronised source wait for the packet that releases them.
    [Fact]
    public async Task An_independent_senders_levels_wait_for_its_synchronisation()
    {
        var options = Ports.Options(12);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var peer = Peers.Synchronised(options.E131Port, 12, 7963);
        SourceHealth Source() => live.Read(m => m.Health()).Universes.Single().Sources.Single();

        // The group of the address is joined once a source has named it; before that its packets are missed.
        for (var level = 40; level < 70; level++)
        {
            peer.Ask($"flush {level}");
            await Task.Delay(40, TestContext.Current.CancellationToken);
        }

        Assert.True(Within(() => Levels(live, 12) == (69, 69)));
        Assert.Equal(7963, Source().SyncAddress);
        var packets = Source().Packets;
        peer.Ask("hold 90");
        Assert.True(Within(() => Source().Packets == packets + 1));
        Assert.Equal((69, 69), Levels(live, 12));
        peer.Ask("flush 91");
        Assert.True(Within(() => Levels(live, 12) == (91, 91)));

        peer.Ask("offer");
        Assert.True(Within(() => live.Read(m => m.Health()).Senders.Any(s => s.Offers is [12, 19])));
        peer.Ask("stop");
        Assert.True(Within(() => Source().Standing == SourceStanding.Ended));
    }

    [Fact]
    public void The_higher_priority_is_heard_until_it_dies()
    {
        var options = Ports.Options(5);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var low = Peers.Send("sacn-multicast", options.E131Port, 5, 200, 100);
        using (Peers.Send("sacn-multicast", options.E131Port, 5, 90, 150))
        {
            Assert.True(Within(() => Levels(live, 5) == (90, 90)));
        }

        Assert.True(Within(() => Levels(live, 5) == (200, 200)));
    }

    [Theory]
    [InlineData("tcpdump", "lo", "pcap")]
    [InlineData("tcpdump", "any -y LINUX_SLL", "pcap")]
    [InlineData("tcpdump", "any -y LINUX_SLL2 --nano", "pcap")]
    [InlineData("dumpcap", "lo", "pcapng")]
    [InlineData("tshark", "lo", "pcapng")]
    public void A_capture_of_an_independent_sender_gives_its_levels(string program, string device, string kind)
    {
        Tools.Need(program, program);
        if (Environment.UserName != "root")
        {
            Assert.Skip($"{program} needs root to capture");
        }

        var options = Ports.Options(11);
        var file = Path.Combine(Path.GetTempPath(), $"stageview-wire-{Environment.ProcessId}-{program}-{device.Split(' ')[^1]}.{kind}");
        try
        {
            using (Peers.Send("sacn-multicast", options.E131Port, 11, 123))
            using (Peers.Send("artnet", options.ArtNetPort, 11, 45))
            {
                var filter = $"udp and (dst port {options.E131Port} or dst port {options.ArtNetPort})";
                if (program == "tcpdump")
                {
                    Tools.Run("timeout", ["-s", "INT", "--preserve-status", "60", "tcpdump", "-Z", "root", "-i", .. device.Split(' '), "-U", "-c", "60", "-w",
                        file, filter]);
                }
                else if (program == "dumpcap")
                {
                    Tools.Run("timeout", "60", "dumpcap", "-q", "-i", device, "-c", "60", "-w", file, "-f", filter);
                }
                else
                {
                    Tools.Run("timeout", "60", "tshark", "-q", "-i", device, "-c", "60", "-F", "pcapng", "-w", file, filter);
                }
            }

            using var reader = CaptureReader.Open(file);
            var merger = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(reader, merger).PlayToEnd();
            Assert.Equal(60, reader.Records);
            Assert.Null(reader.Problem);
            Assert.True(merger.TryGetLevels(new UniverseNumber(11), out var levels));
            Assert.Equal(123, levels[511]);
            Assert.True(merger.TryGetLevels(new UniverseNumber(12), out levels));
            Assert.Equal(45, levels[511]);
        }
        finally
        {
            File.Delete(file);
        }
    }
}
