using System.Diagnostics.Metrics;
using System.Net;
using System.Net.Sockets;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Health;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tests.Sockets;

namespace StageView.Wire.Tests.Health;

public sealed class FindingTests
{
    private readonly UniverseMerger _merger = new(WireSettings.Default);
    private byte _sequence;

    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    private static PatchedUniverses Patch(params (int Universe, int Highest)[] used) => new(used.ToDictionary(u => u.Universe, u => u.Highest));

    private void Send(int at, int cid, int universe, byte[] levels, byte priority = 100, bool terminated = false, bool preview = false) =>
        _merger.Receive(Ms(at), SourceAddress.IPv4(0x0A00_0000u + (uint)cid, 5568),
            Packets.Data(cid, universe, ++_sequence, levels, priority, terminated: terminated, preview: preview, name: $"desk {cid}"));

    private string[] Find(PatchedUniverses patch, bool standing = true)
    {
        var watch = new HealthWatch(patch);
        watch.Look(_merger);
        watch.Look(_merger);
        return [.. watch.Findings(watch.Look(_merger)).Where(f => f.Stands == standing).Select(f => f.Text)];
    }

    [Fact]
    public void All_well_finds_nothing()
    {
        for (var t = 0; t < 5000; t += 25)
        {
            _sequence = (byte)(t / 25);
            Send(t, 1, 1, Packets.Levels(512, (byte)(t / 25)));
        }

        Assert.Empty(Find(Patch((1, 512))));
        Assert.Empty(Find(Patch((1, 512)), standing: false));
        var source = _merger.Health().Universes.Single().Sources.Single();
        Assert.Equal((200, 0, 0, 0), (source.Packets, source.Missing, source.Duplicates, source.OutOfOrder));
        Assert.InRange(source.IntervalMilliseconds, 24.9, 25.1);
        Assert.InRange(source.JitterMilliseconds, 0, 0.1);
    }

    [Fact]
    public void Patched_but_silent()
    {
        _merger.Advance(Ms(2900));
        Assert.Empty(Find(Patch((4, 10))));
        _merger.Advance(Ms(10_000));
        Assert.Equal(["universe 4 is patched but silent: nothing was heard in 10 s"], Find(Patch((4, 10))));
    }

    [Fact]
    public void Heard_but_not_patched()
    {
        Send(0, 1, 9, Packets.Levels(512, 1));
        Assert.Equal(["universe 9 is heard from 'desk 1' at 10.0.0.1 but nothing is patched there"], Find(Patch((1, 10)), standing: false));
    }

    [Fact]
    public void Two_sources_fight_at_equal_priority_over_named_addresses()
    {
        var a = Packets.Levels(512, 10);
        var b = Packets.Levels(512, 10);
        b[2] = b[3] = b[100] = 11;
        Send(0, 1, 1, a);
        Send(0, 2, 1, b);
        Assert.Equal(["universe 1: 'desk 1' at 10.0.0.1 and 'desk 2' at 10.0.0.2 fight at equal priority 100 over 3-4, 101"], Find(Patch((1, 512))));
        // Unequal priorities don't fight.
        Send(1, 2, 1, b, priority: 101);
        Assert.Empty(Find(Patch((1, 512))));
    }

    [Fact]
    public void Disagreement_in_one_look_alone_is_no_fight()
    {
        var watch = new HealthWatch(Patch((1, 512)));
        Send(0, 1, 1, Packets.Levels(512, 10));
        Send(0, 2, 1, Packets.Levels(512, 9));
        Assert.Empty(watch.Look(_merger).Universes[0].Disagreements);
        Send(1, 2, 1, Packets.Levels(512, 10));
        Assert.Empty(watch.Look(_merger).Universes[0].Disagreements);
    }

    [Fact]
    public void A_source_that_stopped_and_one_that_ended()
    {
        Send(0, 1, 1, Packets.Levels(512, 10));
        Send(0, 2, 2, Packets.Levels(512, 10));
        Send(1000, 2, 2, Packets.Levels(512, 10), terminated: true);
        _merger.Advance(Ms(3000));
        Assert.Equal(
            [
                "universe 1: 'desk 1' at 10.0.0.1 stopped 3.0 s ago without saying so; its last levels are held",
                "universe 2: 'desk 2' at 10.0.0.2 ended its stream 2.0 s ago and no other source sends; its last levels are held",
            ],
            Find(Patch((1, 512), (2, 512))));
    }

    [Fact]
    public void A_universe_shorter_than_its_patch()
    {
        Send(0, 1, 1, Packets.Levels(24, 10));
        Assert.Equal(["universe 1: 'desk 1' at 10.0.0.1 sends 24 addresses, the patch uses 30; 1.25 and above get nothing"], Find(Patch((1, 30))));
        Assert.Empty(Find(Patch((1, 24))));
    }

    [Fact]
    public void A_backup_that_offers_but_never_sends()
    {
        var page = new byte[1144];
        var length = E131Writer.WriteDiscovery(page, Packets.Cid(2), "backup"u8, 0, 0, [1, 2]);
        Send(0, 1, 1, Packets.Levels(512, 10));
        Send(0, 1, 2, Packets.Levels(512, 10));
        Send(0, 2, 1, Packets.Levels(512, 10), priority: 90);
        _merger.Receive(Ms(1), Packets.Console2, page.AsSpan(0, length));
        Assert.Equal(["universe 2: 'backup' says it offers it but never sent a packet"], Find(Patch((1, 512), (2, 512))));
        Assert.Equal([1, 2], _merger.Health().Senders.Single(s => s.Name == "backup").Offers!);
    }

    [Fact]
    public void Levels_that_stand_still_while_the_senders_others_move()
    {
        for (var t = 0; t <= 31_000; t += 1000)
        {
            Send(t, 1, 1, Packets.Levels(512, 10));
            Send(t, 1, 2, Packets.Levels(512, (byte)(t / 1000)));
        }

        Assert.Equal(["universe 1: 'desk 1' at 10.0.0.1 hasn't changed a level for 31 s while its other universes move"],
            Find(Patch((1, 512), (2, 512)), standing: false).Where(f => !f.Contains("missing", StringComparison.Ordinal)));
    }

    [Fact]
    public void Frozen_for_want_of_synchronisation()
    {
        _merger.Receive(Ms(0), Packets.Console1, Packets.Sync(1, 9000, 0));
        for (var t = 100; t <= 3000; t += 100)
        {
            _merger.Receive(Ms(t), Packets.Console1, Packets.Data(1, 1, (byte)(t / 100), Packets.Levels(512, 1), sync: 9000));
        }

        Assert.Equal(["universe 1 is frozen: its synchronisation packets stopped and the source asks to wait for them"], Find(Patch((1, 512))));
    }

    [Fact]
    public void Missing_packets_preview_and_malformed_ones()
    {
        Send(0, 1, 1, Packets.Levels(512, 10), preview: true);
        _sequence += 9;
        Send(1, 1, 1, Packets.Levels(512, 10), preview: true);
        _merger.Receive(Ms(2), Packets.Console1, Packets.Data(1, 1, 1, [1, 2]).AsSpan(0, 100));
        Assert.Equal(["universe 1: 9 packets of 'desk 1' at 10.0.0.1 are missing (81.82 %)"],
            Find(Patch((1, 512))).Where(f => f.Contains("missing", StringComparison.Ordinal)));
        var remarks = Find(Patch((1, 512)), standing: false);
        Assert.Contains(remarks, f => f.Contains("preview data alone", StringComparison.Ordinal));
        Assert.Contains(remarks, f => f.Contains("1 malformed", StringComparison.Ordinal) && f.Contains("cut short: 100 bytes", StringComparison.Ordinal));
    }

    [Fact]
    public void What_went_missing_is_forgotten_after_the_time_asked_for()
    {
        var night = new HealthWatch(Patch((1, 512)));
        var minute = new HealthWatch(Patch((1, 512)), 60);
        string[] Missing(HealthWatch watch, int universe = 1) =>
            [.. watch.Findings(watch.Look(_merger))
                .Where(f => f.Kind is FindingKind.PacketsLost or FindingKind.Malformed && (f.Universe ?? universe) == universe).Select(f => f.Text)];
        void SendFor(int from, int to)
        {
            for (var t = from; t < to; t += 1000)
            {
                Send(t, 1, 1, Packets.Levels(512, 1));
                Missing(night);
                Missing(minute);
            }
        }

        SendFor(0, 5000);
        _sequence += 9;
        _merger.Receive(Ms(5000), Packets.Console1, Packets.Data(1, 1, 1, [1, 2]).AsSpan(0, 100));
        SendFor(5000, 10_000);
        Assert.Equal("universe 1: 9 packets of 'desk 1' at 10.0.0.1 are missing (47.37 %)", Missing(night)[0]);
        // Of the ten packets before and after them the first was there before the first look.
        Assert.Equal("universe 1: 9 packets of 'desk 1' at 10.0.0.1 went missing in the last minute (50.00 %)", Missing(minute)[0]);
        Assert.StartsWith("1 malformed packet from 10.0.0.1 was refused in the last minute; the last:", Missing(minute)[1], StringComparison.Ordinal);
        SendFor(10_000, 60_000);
        Assert.Contains("9 packets", Missing(minute)[0], StringComparison.Ordinal);
        SendFor(60_000, 80_000);
        Assert.Empty(Missing(minute));
        Assert.Equal(2, Missing(night).Length);
        // What is lost later is told anew, and counted from nothing.
        _sequence += 2;
        SendFor(80_000, 82_000);
        Assert.Contains("2 packets", Assert.Single(Missing(minute)), StringComparison.Ordinal);
        Assert.Contains("11 packets", Missing(night)[0], StringComparison.Ordinal);
    }

    [Fact]
    public void More_sources_than_there_is_room_for_and_other_start_codes()
    {
        for (var cid = 1; cid <= 20; cid++)
        {
            Send(0, cid, 1, Packets.Levels(512, 10));
        }

        _merger.Receive(Ms(1), Packets.Console1, Packets.Data(1, 1, 200, [1, 2], startCode: 0x17));
        Assert.Contains("universe 1: 4 packets of further sources found no room beside the 16 known", Find(Patch((1, 512))));
        Assert.Contains("universe 1 also carries 1 packet with other start codes (the last 0x17), which are no levels", Find(Patch((1, 512)), standing: false));
    }

    [Fact]
    public void What_is_the_same_of_many_universes_is_told_once()
    {
        _merger.Advance(Ms(10_000));
        Send(10_000, 1, 9, Packets.Levels(512, 1));
        Send(10_000, 1, 30, Packets.Levels(512, 1));
        Send(10_000, 1, 31, Packets.Levels(512, 1));
        var watch = new HealthWatch(Patch((1, 10), (2, 10), (3, 10), (12, 10), (9, 10)));
        Assert.Equal(
            [
                (true, "universes 1 to 3, 12 are patched but silent: nothing was heard in 10 s"),
                (false, "universes 30, 31 are heard from 'desk 1' at 10.0.0.1 but nothing is patched there"),
            ],
            FindingGroups.Of(watch.Findings(watch.Look(_merger))).Select(f => (f.Stands, f.Text)));
    }

    [Theory]
    [InlineData(new[] { 1, 2, 3, 7, 9, 10 }, "1-3, 7, 9-10")]
    [InlineData(new int[0], "")]
    [InlineData(new[] { 1, 3, 5, 7, 9, 11, 13, 15, 17, 19 }, "1, 3, 5, 7, 9, 11, 13, 15 and 2 more")]
    public void Addresses_are_written_as_ranges(int[] addresses, string expected) => Assert.Equal(expected, AddressRanges.Write(addresses));

    [Fact]
    public void Counts_are_metrics_too()
    {
        var options = Ports.Options(3);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var meters = new WireMeters(live);
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.SendTo(Packets.Data(1, 3, 1, Packets.Levels(512, 5)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
        Assert.True(SpinWait.SpinUntil(() => live.Received == 1, TimeSpan.FromSeconds(60)));
        var seen = new Dictionary<string, long>();
        using var listener = new MeterListener();
        listener.InstrumentPublished = (instrument, l) =>
        {
            if (instrument.Meter.Name == WireMeters.MeterName)
            {
                l.EnableMeasurementEvents(instrument);
            }
        };
        listener.SetMeasurementEventCallback<long>(
            (instrument, value, tags, _) => seen[instrument.Name + (tags.Length > 0 ? ":" + tags[0].Value : "")] = value);
        listener.Start();
        listener.RecordObservableInstruments();
        Assert.Equal(1, seen["stageview.wire.packets:taken"]);
        Assert.Equal(1, seen["stageview.wire.universe.packets:3"]);
        Assert.Equal(0, seen["stageview.wire.kernel_drops"]);
    }

    private static readonly string[] s_two = ["10.0.0.1:5568", "10.0.0.2:5568"];

    // Two desks, one CID: numbers far apart, in step with other levels, a few apart so that one is dropped as late.
    [Theory]
    [InlineData(100)]
    [InlineData(0)]
    [InlineData(5)]
    [InlineData(-3)]
    public void Two_desks_with_one_CID_are_told_with_both_addresses_and_not_as_loss(int apart)
    {
        for (var i = 0; i < 120; i++)
        {
            _merger.Receive(Ms(25 * i), Packets.Console1, Packets.Data(7, 1, (byte)i, Packets.Levels(512, (byte)i), name: "desk"));
            _merger.Receive(Ms((25 * i) + 9), Packets.Console2, Packets.Data(7, 1, (byte)(i + apart), Packets.Levels(512, (byte)(200 - i)), name: "desk"));
        }

        var source = _merger.Health().Universes.Single().Sources.Single();
        Assert.Equal(s_two, source.SharedBy.Order());
        Assert.Equal(0, source.Missing);
        var found = Assert.Single(Find(Patch((1, 512))));
        Assert.Contains("send with one CID", found, StringComparison.Ordinal);
        Assert.All(s_two, a => Assert.Contains("'desk' at " + a, found, StringComparison.Ordinal));

        // It is over when one is switched off.
        for (var i = 120; i < 240; i++)
        {
            _merger.Receive(Ms(25 * i), Packets.Console1, Packets.Data(7, 1, (byte)i, Packets.Levels(512, (byte)i), name: "desk"));
        }

        Assert.Empty(Find(Patch((1, 512))));
    }

    [Fact]
    public void Three_desks_with_one_CID_and_two_programs_on_one_host_are_told_too()
    {
        SourceAddress[] desks = [Packets.Console1, Packets.Console2, Packets.Console2 with { Port = 40_000 }];
        for (var i = 0; i < 120; i++)
        {
            for (var d = 0; d < desks.Length; d++)
            {
                _merger.Receive(Ms((25 * i) + d), desks[d], Packets.Data(7, 1, (byte)(i + (80 * d)), Packets.Levels(512, (byte)(i + (50 * d)))));
            }
        }

        Assert.Equal(["10.0.0.1:5568", "10.0.0.2:40000", "10.0.0.2:5568"],
            _merger.Health().Universes.Single().Sources.Single().SharedBy.Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(3, 0)]
    [InlineData(2, 1)]
    [InlineData(10, 9)]
    public void One_desk_by_two_ways_is_one_desk(int of, int lost)
    {
        // Of so many packets so many are lost on the second way; both come, now one first and now the other.
        for (var i = 0; i < 200; i++)
        {
            var packet = Packets.Data(7, 1, (byte)i, Packets.Levels(512, (byte)i));
            var (first, second) = of == 3 && i % 3 == 0 ? (Packets.Console2, Packets.Console1) : (Packets.Console1, Packets.Console2);
            _merger.Receive(Ms(25 * i), first, packet);
            if (of == 0 || i % of >= lost)
            {
                _merger.Receive(Ms((25 * i) + 2), second, packet);
            }
        }

        Assert.Empty(_merger.Health().Universes.Single().Sources.Single().SharedBy);
        Assert.Empty(Find(Patch((1, 512))));
    }

    [Fact]
    public void A_desk_that_came_back_with_another_CID_has_not_stopped()
    {
        void From(int at, int cid, string name) =>
            _merger.Receive(Ms(at), Packets.Console1, Packets.Data(cid, 1, (byte)(at / 25), Packets.Levels(512, 9), name: name));
        for (var t = 0; t < 1000; t += 25)
        {
            From(t, 1, "desk");
        }

        for (var t = 10_000; t < 12_000; t += 25)
        {
            From(t, 2, "desk");
        }

        Assert.Empty(Find(Patch((1, 512))));

        // Another one there has taken over from nobody.
        for (var t = 20_000; t < 22_000; t += 25)
        {
            From(t, 3, "other");
        }

        Assert.Contains("stopped", Assert.Single(Find(Patch((1, 512)))), StringComparison.Ordinal);
    }

    // Level of a desk at a time, and the other's; fades of 1 and 5 s, a chase, a static look.
    public static TheoryData<string, Func<int, double>, Func<int, double>, bool> Desks => new()
    {
        { "tracks a fade a frame behind", Fade(1000), t => Fade(1000)(t - 23), false },
        { "tracks a fast fade three frames behind", Fade(300), t => Fade(300)(t - 69), false },
        { "tracks a chase a frame behind", Chase(400), t => Chase(400)(t - 23), false },
        { "tracks a fast chase two frames behind", Chase(130), t => Chase(130)(t - 46), false },
        { "fades the other way", Fade(5000), t => 255 - Fade(5000)(t), true },
        { "is still while the other fades", Fade(5000), _ => 128, true },
        { "is dark while the other chases", Chase(400), _ => 0, true },
        { "is still while the other chases", Chase(400), _ => 100, true },
        { "chases half a beat behind", Chase(1000), t => Chase(1000)(t - 500), true },
        { "is a second behind in a fade", Fade(5000), t => Fade(5000)(t - 1000), true },
    };

    private static Func<int, double> Fade(int length) => t => 127.5 * (1 - Math.Cos(Math.PI * t / length));

    private static Func<int, double> Chase(int beat) => t => t >= 0 && t / beat % 2 == 1 ? 255 : 0;

    [Theory]
    [MemberData(nameof(Desks))]
    public void A_backup_that_tracks_does_not_fight_and_one_that_does_something_else_does(
        string what, Func<int, double> main, Func<int, double> backup, bool fights)
    {
        var watch = new HealthWatch(Patch((1, 512)));
        var told = 0;
        for (var (t, n) = (0, 0); t < 20_000; t += 23, n++)
        {
            _merger.Receive(Ms(t), Packets.Console1, Packets.Data(1, 1, (byte)n, Packets.Levels(512, (byte)main(t))));
            _merger.Receive(Ms(t + 1), Packets.Console2, Packets.Data(2, 1, (byte)n, Packets.Levels(512, (byte)backup(t))));
            if (n % 21 == 20)
            {
                told += watch.Findings(watch.Look(_merger)).Any(f => f.Kind == FindingKind.SourcesDisagree) ? 1 : 0;
            }
        }

        Assert.True(fights ? told >= 5 : told == 0, $"{what}: told in {told} looks");
    }
}
