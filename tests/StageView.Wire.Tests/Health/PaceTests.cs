using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Health;
using StageView.Wire.Levels;

namespace StageView.Wire.Tests.Health;

/// <summary>How often packets come and what a sender says of itself: told where it is wrong, and not where it isn't.</summary>
public sealed class PaceTests
{
    private static readonly SourceAddress Desk = SourceAddress.IPv4(0x0A00_0001, 5568);
    private static readonly SourceAddress Node = SourceAddress.IPv4(0x0A00_0009, 6454);
    private readonly UniverseMerger _merger = new(WireSettings.Default);
    private readonly HealthWatch _watch = new(new PatchedUniverses(new Dictionary<int, int> { [1] = 512, [2] = 512 }));
    private readonly List<(double At, SourceAddress From, byte[] Packet)> _sent = [];

    private void Send(double at, byte[] packet, SourceAddress? from = null) => _sent.Add((at, from ?? Desk, packet));

    /// <summary>Levels that move, packets at even times.</summary>
    private void Steady(double hertz, double seconds, int cid = 1, int universe = 1, double again = -1, double lag = 0, byte[]? levels = null, byte code = 0)
    {
        for (var i = 0; i < hertz * seconds; i++)
        {
            var packet = Packets.Data(cid, universe, (byte)i, levels ?? Packets.Levels(512, (byte)i), startCode: code, name: $"desk {cid}");
            Send(lag + (i / hertz), packet);
            if (again >= 0)
            {
                Send(lag + (i / hertz) + again, packet);
            }
        }
    }

    /// <summary>The findings that stood at any of the looks, twice a second, each text without its numbers of packets once.</summary>
    private List<Finding> Play()
    {
        var found = new Dictionary<FindingKind, Finding>();
        var next = .5;
        foreach (var (at, from, packet) in _sent.OrderBy(s => s.At))
        {
            for (; at > next; next += .5)
            {
                _merger.Advance(TimeSpan.FromSeconds(next));
                foreach (var f in _watch.Findings(_watch.Look(_merger)).Where(f => f.Kind != FindingKind.PatchedButSilent))
                {
                    found[f.Kind] = f;
                }
            }

            _merger.Receive(TimeSpan.FromSeconds(at), from, packet);
        }

        return [.. found.Values.OrderBy(f => f.Kind)];
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(.005, false)]
    [InlineData(.06, true)]
    [InlineData(.9, true)]
    [InlineData(3.1, true)]
    public void A_loop_is_told_however_late_its_packets_come_again(double delay, bool later)
    {
        Steady(40, 12, again: delay);
        var found = Assert.Single(Play(), f => f.Kind is FindingKind.Doubled);
        Assert.True(found.Stands);
        Assert.Equal(later, found.Held);
        Assert.InRange(found.Count!.Value, found.Of!.Value * .35, found.Of.Value * 1.1);
        Assert.StartsWith("universe 1: packets of 'desk 1' at 10.0.0.1 come again", found.Text, StringComparison.Ordinal);
        // What came again between isn't taken for loss.
        var source = _merger.Health().Universes[0].Sources[0];
        Assert.InRange(source.Missing, 0, 130);
    }

    /// <summary>A switch that sends one packet in ten twice makes no loop.</summary>
    [Fact]
    public void Some_packets_that_come_twice_are_no_loop()
    {
        Steady(40, 12);
        foreach (var (at, from, packet) in _sent.Where((_, i) => i % 10 == 0).ToList())
        {
            Send(at + .001, packet, from);
        }

        Assert.DoesNotContain(Play(), f => f.Kind == FindingKind.Doubled);
    }

    [Fact]
    public void A_desk_that_starts_anew_and_packets_out_of_order_are_no_loop()
    {
        Steady(40, 7);
        Steady(40, 10, lag: 7.2);
        var order = _sent.Count;
        for (var i = 0; i + 1 < order; i += 8)
        {
            (_sent[i], _sent[i + 1]) = ((_sent[i].At, Desk, _sent[i + 1].Packet), (_sent[i + 1].At, Desk, _sent[i].Packet));
        }

        Assert.DoesNotContain(Play(), f => f.Kind != FindingKind.PacketsLost);
        Assert.InRange(_merger.Health().Universes[0].Sources[0].Echoes, 0, 3);
    }

    [Theory]
    [InlineData(60, 512, "sends 60 packets a second, a line of DMX512 carries 44")]
    [InlineData(100, 24, null)]
    [InlineData(44, 512, null)]
    [InlineData(1.1, 512, null)]
    [InlineData(.5, 512, "sends 0.5 packets a second; 1 at least is asked")]
    public void Rates_beside_what_the_standards_ask(double hertz, int slots, string? told)
    {
        Steady(hertz, 40, levels: Packets.Levels(slots, 9));
        var found = Play().Where(f => f.Kind is not FindingKind.UniverseTooShort).ToList();
        Assert.Equal(told is null ? [] : [false], found.Select(f => f.Stands));
        Assert.Contains(told ?? "", found.Count > 0 ? found[0].Text : "", StringComparison.Ordinal);
    }

    [Fact]
    public void Art_Net_may_send_each_four_seconds()
    {
        for (var t = 0; t < 120; t += 4)
        {
            Send(t, Packets.ArtDmx(0, (byte)(1 + (t / 4)), Packets.Levels(512, 3)), Node);
        }

        Assert.Empty(Play());
        for (var t = 120; t < 300; t += 9)
        {
            Send(t, Packets.ArtDmx(0, (byte)(40 + (t / 9)), Packets.Levels(512, 3)), Node);
        }

        Assert.Equal([FindingKind.RateTooLow], Play().Where(f => !f.Text.Contains("missing", StringComparison.Ordinal)).Select(f => f.Kind));
    }

    [Fact]
    public void Packets_in_bunches()
    {
        for (var i = 0; i < 400; i++)
        {
            Send(.12 * (i / 4) + (.001 * (i % 4)), Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)));
        }

        var found = Assert.Single(Play());
        Assert.Equal((FindingKind.Ragged, false), (found.Kind, found.Stands));
        Assert.InRange((double)found.Count!.Value / found.Of!.Value, .7, .8);
    }

    /// <summary>One line for one trouble: who sends too often has no time left between.</summary>
    [Fact]
    public void Bunches_that_are_too_many_are_told_as_too_many()
    {
        for (var i = 0; i < 1200; i++)
        {
            Send(.04 * (i / 4) + (.001 * (i % 4)), Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)));
        }

        Assert.Equal(FindingKind.RateTooHigh, Assert.Single(Play()).Kind);
    }

    [Fact]
    public void sACN_and_Art_Net_of_one_universe()
    {
        Steady(40, 5);
        for (var t = .01; t < 5; t += .025)
        {
            Send(t, Packets.ArtDmx(0, 0, Packets.Levels(512, 0)), Node);
        }

        var found = Assert.Single(Play(), f => f.Kind == FindingKind.TwoProtocols);
        Assert.StartsWith("universe 1 comes by sACN and Art-Net, from 'desk 1' at 10.0.0.1 and Art-Net 10.0.0.9", found.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_priority_that_flaps_is_told_and_a_takeover_is_not()
    {
        void Two(double from, double to, double each)
        {
            for (var i = 0; i < (to - from) * 10; i++)
            {
                var sequence = (byte)((from * 10) + i);
                Send(from + (i / 10.0), Packets.Data(1, 1, sequence, Packets.Levels(512, 9), (byte)((int)(i / 10.0 / each) % 2 == 0 ? 100 : 120)));
                Send(from + (i / 10.0), Packets.Data(2, 1, sequence, Packets.Levels(512, 9), 110));
            }
        }

        Two(0, 40, 20);
        Assert.Empty(Play());
        _sent.Clear();
        Two(40, 60, 2);
        var found = Assert.Single(Play());
        Assert.Equal((FindingKind.PriorityFlaps, true), (found.Kind, found.Stands));
    }

    [Fact]
    public void Per_address_priority_that_the_rig_ignores_names_its_key()
    {
        for (var i = 0; i < 120; i++)
        {
            Send(i * .025, Packets.Data(1, 1, (byte)i, Packets.Levels(512, 120),
                startCode: i % 40 == 20 ? E131Numbers.PerAddressPriorityStartCode : E131Numbers.NullStartCode, name: "desk 1"));
        }

        var found = Assert.Single(Play());
        Assert.Equal(FindingKind.PrioritiesIgnored, found.Kind);
        Assert.Contains("\"perAddressPriority\": true", found.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_source_that_never_sends_levels()
    {
        Steady(10, 6, code: E131Numbers.PerAddressPriorityStartCode);
        var found = Assert.Single(Play(), f => f.Kind == FindingKind.NoLevels);
        Assert.True(found.Stands);
        Assert.Contains("sends no levels (start code 0) for ", found.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Malformed_packets_are_told_by_their_sender()
    {
        Steady(40, 3);
        var bad = Packets.Data(1, 1, 1, [1, 2]).AsSpan(0, 100).ToArray();
        Send(1, bad, Node);
        Send(2, bad, Node);
        Send(2, bad);
        Send(3, bad);
        Send(3.1, bad);
        Play();
        Assert.Equal(["2 malformed packets from 10.0.0.9", "3 malformed packets from 10.0.0.1"], _watch.Findings(_watch.Look(_merger))
            .Where(f => f.Kind == FindingKind.Malformed).Select(f => f.Text[..f.Text.IndexOf(" were", StringComparison.Ordinal)]).Order());
    }

    [Fact]
    public void What_is_sent_beside_what_is_offered()
    {
        void Offer(double at, params ushort[] universes)
        {
            var page = new byte[1144];
            Send(at, page[..E131Writer.WriteDiscovery(page, Packets.Cid(1), "desk 1"u8, 0, 0, universes)]);
        }

        Steady(40, 45);
        for (var t = 3; t < 45; t += 10)
        {
            Offer(t, 1);
        }

        Steady(40, 25, universe: 2, lag: 20);
        var found = Assert.Single(Play());
        Assert.Equal((FindingKind.NotOffered, false, 2), (found.Kind, found.Stands, found.Universe));
    }

    /// <summary>Twenty universes for ten minutes of two desks, with the small disorders of a healthy network.</summary>
    [Fact]
    public void A_healthy_network_has_no_finding()
    {
        var merger = new UniverseMerger(WireSettings.Default);
        var watch = new HealthWatch(new PatchedUniverses(Enumerable.Range(1, 20).ToDictionary(u => u, _ => 512)));
        var chance = new Random(7);
        var sequences = new byte[64];
        for (var frame = 0; frame < 10 * 60 * 25; frame++)
        {
            for (var universe = 1; universe <= 20; universe++)
            {
                for (var desk = 1; desk <= 2; desk++)
                {
                    // Stands still for minutes, then moves; keep-alives alone where nothing moves.
                    var moves = frame / 1500 % 3 != 0;
                    if (!moves && frame % 23 != 0)
                    {
                        continue;
                    }

                    var data = Packets.Data(desk, universe, ++sequences[(universe * 2) + desk], Packets.Levels(512, (byte)(moves ? frame / 3 : 40)),
                        (byte)(desk == 1 ? 100 : 90), name: $"desk {desk}");
                    var at = (frame * .04) + (universe * .0002) + (chance.NextDouble() * .004);
                    merger.Receive(TimeSpan.FromSeconds(at), SourceAddress.IPv4(0x0A00_0000u + (uint)desk, 5568), data);
                }
            }

            if (frame % 12 == 11)
            {
                Assert.DoesNotContain(watch.Findings(watch.Look(merger)),
                    f => f.Kind is not (FindingKind.PatchedButSilent or FindingKind.PacketsLost) || merger.Now.TotalSeconds > 3);
            }
        }
    }
}
