using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Levels;

public sealed class UniverseMergerTests
{
    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    [Fact]
    public void A_source_that_dies_lets_the_next_one_through_at_that_moment_without_a_dark_frame()
    {
        var sink = new RecordingSink();
        var merger = new UniverseMerger(WireSettings.Default, sink);
        for (var t = 0; t <= 5000; t += 25)
        {
            if (t <= 1000)
            {
                merger.Receive(Ms(t), Packets.Console1, Packets.Data(1, 1, (byte)(t / 25), Packets.Levels(512, 200), 150));
            }

            merger.Receive(Ms(t), Packets.Console2, Packets.Data(2, 1, (byte)(t / 25), Packets.Levels(512, 90), 100));
        }

        Assert.Equal([(Ms(0), 200), (Ms(3500), 90)], sink.Changes.Select(c => (c.At, (int)c.Levels[0])));
    }

    [Fact]
    public void What_falls_due_happens_at_its_own_time_however_seldom_time_advances()
    {
        RecordingSink Run(int step)
        {
            var sink = new RecordingSink();
            var merger = new UniverseMerger(WireSettings.Default, sink);
            merger.Receive(Ms(0), Packets.Console1, Packets.Data(1, 1, 0, Packets.Levels(4, 10), 150));
            merger.Receive(Ms(100), Packets.Console1, Packets.Data(2, 1, 0, Packets.Levels(4, 20), 120));
            merger.Receive(Ms(2400), Packets.Console1, Packets.Data(2, 1, 1, Packets.Levels(4, 20), 120));
            merger.Receive(Ms(2400), Packets.Console1, Packets.Data(3, 1, 0, Packets.Levels(4, 30), 50));
            for (var t = 2400; t <= 12000; t += step)
            {
                merger.Advance(Ms(t));
            }

            return sink;
        }

        var fine = Run(1);
        Assert.Equal(2, fine.Changes.Count);
        Assert.Equal(fine.Changes.Select(c => (c.At, c.Levels[0])), Run(4800).Changes.Select(c => (c.At, c.Levels[0])));
        Assert.Equal(Ms(2500), fine.Changes[1].At);
    }

    // §6.7.2: discard if -20 < (signed 8 bit)(B - A) <= 0.
    [Theory]
    [InlineData(10, 10, PacketOutcome.Duplicate)]
    [InlineData(10, 9, PacketOutcome.OutOfOrder)]
    [InlineData(10, 247, PacketOutcome.OutOfOrder)]
    [InlineData(10, 246, PacketOutcome.Taken)]
    [InlineData(10, 11, PacketOutcome.Taken)]
    [InlineData(255, 0, PacketOutcome.Taken)]
    [InlineData(0, 255, PacketOutcome.OutOfOrder)]
    [InlineData(10, 137, PacketOutcome.Taken)]
    public void The_sequence_rule(byte last, byte now, PacketOutcome expected)
    {
        var merger = new UniverseMerger(WireSettings.Default);
        merger.Receive(Ms(0), Packets.Console1, Packets.Data(1, 1, last, Packets.Levels(4, 10)));
        Assert.Equal(expected, merger.Receive(Ms(1), Packets.Console1, Packets.Data(1, 1, now, Packets.Levels(4, 20))));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal(expected == PacketOutcome.Taken ? 20 : 10, levels[0]);
    }

    [Fact]
    public void Sequences_are_kept_for_each_universe_and_source()
    {
        var merger = new UniverseMerger(WireSettings.Default);
        foreach (var (cid, universe) in new[] { (1, 1), (1, 2), (2, 1) })
        {
            Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(0), Packets.Console1, Packets.Data(cid, universe, 5, Packets.Levels(4, 10))));
        }
    }

    [Theory]
    [InlineData(1, 255, PacketOutcome.OutOfOrder)]
    [InlineData(255, 1, PacketOutcome.Taken)]
    [InlineData(5, 5, PacketOutcome.Duplicate)]
    [InlineData(5, 0, PacketOutcome.Taken)]
    [InlineData(0, 0, PacketOutcome.Taken)]
    public void Art_Nets_sequence_wraps_past_zero_which_means_no_check(byte last, byte now, PacketOutcome expected)
    {
        var merger = new UniverseMerger(WireSettings.Default);
        merger.Receive(Ms(0), Packets.Console1, Packets.ArtDmx(0, last, Packets.Levels(4, 10)));
        Assert.Equal(expected, merger.Receive(Ms(1), Packets.Console1, Packets.ArtDmx(0, now, Packets.Levels(4, 20))));
    }

    [Fact]
    public void The_mapping_says_which_universe_a_port_address_is()
    {
        var merger = new UniverseMerger(new WireSettings { ArtNet = new ArtNetMapping(101) });
        merger.Receive(Ms(0), Packets.Console1, Packets.ArtDmx(3, 1, Packets.Levels(4, 10)));
        Assert.True(merger.TryGetLevels(new UniverseNumber(104), out _));
        Assert.False(merger.TryGetLevels(new UniverseNumber(4), out _));
    }

    [Fact]
    public void Synchronised_universes_change_together_and_only_after_the_first_sync()
    {
        var sink = new RecordingSink();
        var merger = new UniverseMerger(WireSettings.Default, sink);
        // Before the first synchronisation packet data applies at once (§11.1).
        merger.Receive(Ms(0), Packets.Console1, Packets.Data(1, 1, 0, Packets.Levels(4, 1), sync: 9000));
        merger.Receive(Ms(0), Packets.Console1, Packets.Data(1, 2, 0, Packets.Levels(4, 1), sync: 9000));
        Assert.Equal(2, sink.Changes.Count);
        merger.Receive(Ms(1), Packets.Console1, Packets.Sync(1, 9000, 0));
        Assert.Equal(PacketOutcome.Held, merger.Receive(Ms(25), Packets.Console1, Packets.Data(1, 1, 1, Packets.Levels(4, 2), sync: 9000)));
        Assert.Equal(PacketOutcome.Held, merger.Receive(Ms(26), Packets.Console1, Packets.Data(1, 2, 1, Packets.Levels(4, 2), sync: 9000)));
        Assert.Equal(2, sink.Changes.Count);
        // Another address releases nothing, a late sync packet neither.
        merger.Receive(Ms(27), Packets.Console1, Packets.Sync(1, 9001, 0));
        merger.Receive(Ms(27), Packets.Console1, Packets.Sync(1, 9000, 0));
        Assert.Equal(2, sink.Changes.Count);
        merger.Receive(Ms(28), Packets.Console1, Packets.Sync(1, 9000, 1));
        Assert.Equal([(1, Ms(28), 2), (2, Ms(28), 2)], sink.Changes.Skip(2).Select(c => (c.Universe, c.At, (int)c.Levels[0])));
    }

    [Theory]
    [InlineData(false, 2)] // force-synchronisation 0 freezes (§6.2.6)
    [InlineData(true, 3)] // 1 runs on without
    public void After_the_sync_is_lost(bool force, byte expected)
    {
        var merger = new UniverseMerger(WireSettings.Default);
        merger.Receive(Ms(0), Packets.Console1, Packets.Sync(1, 9000, 0));
        merger.Receive(Ms(1), Packets.Console1, Packets.Data(1, 1, 0, Packets.Levels(4, 2), sync: 9000, forceSync: force));
        merger.Receive(Ms(2), Packets.Console1, Packets.Sync(1, 9000, 1));
        for (var t = 100; t < 2502; t += 100)
        {
            Assert.Equal(PacketOutcome.Held,
                merger.Receive(Ms(t), Packets.Console1, Packets.Data(1, 1, (byte)(t / 100), Packets.Levels(4, 9), sync: 9000, forceSync: force)));
        }

        merger.Receive(Ms(2600), Packets.Console1, Packets.Data(1, 1, 26, Packets.Levels(4, 3), sync: 9000, forceSync: force));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal(expected, levels[0]);
        // It resumes with the next synchronisation packet.
        merger.Receive(Ms(2700), Packets.Console1, Packets.Data(1, 1, 27, Packets.Levels(4, 4), sync: 9000, forceSync: force));
        merger.Receive(Ms(2701), Packets.Console1, Packets.Sync(1, 9000, 0));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out levels));
        Assert.Equal(4, levels[0]);
    }

    [Fact]
    public void ArtSync_holds_levels_until_the_next_and_ends_after_four_seconds()
    {
        var sync = new byte[14];
        "Art-Net\0"u8.CopyTo(sync);
        sync[9] = 0x52;
        sync[11] = 14;
        var merger = new UniverseMerger(WireSettings.Default);
        byte Level()
        {
            Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
            return levels[0];
        }

        merger.Receive(Ms(0), Packets.Console1, Packets.ArtDmx(0, 1, Packets.Levels(4, 1)));
        // From another host than the last ArtDmx: ignored.
        Assert.Equal(PacketOutcome.Ignored, merger.Receive(Ms(1), Packets.Console2, sync));
        merger.Receive(Ms(2), Packets.Console1, sync);
        Assert.Equal(PacketOutcome.Held, merger.Receive(Ms(3), Packets.Console1, Packets.ArtDmx(0, 2, Packets.Levels(4, 2))));
        Assert.Equal(1, Level());
        merger.Receive(Ms(4), Packets.Console1, sync);
        Assert.Equal(2, Level());
        merger.Receive(Ms(100), Packets.Console1, Packets.ArtDmx(0, 3, Packets.Levels(4, 3)));
        merger.Advance(Ms(4003));
        Assert.Equal(2, Level());
        merger.Advance(Ms(4004));
        Assert.Equal(3, Level());
        // While a universe merges two sources, sync is ignored for it.
        merger.Receive(Ms(4100), Packets.Console1, sync);
        merger.Receive(Ms(4101), Packets.Console2, Packets.ArtDmx(0, 1, Packets.Levels(4, 50)));
        Assert.Equal(50, Level());
    }

    [Fact]
    public void Preview_data_is_taken_unless_refused()
    {
        var preview = Packets.Data(1, 1, 0, Packets.Levels(4, 10), preview: true);
        Assert.Equal(PacketOutcome.Taken, new UniverseMerger(WireSettings.Default).Receive(Ms(0), Packets.Console1, preview));
        Assert.Equal(PacketOutcome.PreviewRefused, new UniverseMerger(new WireSettings { AcceptPreview = false }).Receive(Ms(0), Packets.Console1, preview));
    }

    [Fact]
    public void Other_start_codes_set_no_levels()
    {
        var merger = new UniverseMerger(WireSettings.Default);
        merger.Receive(Ms(0), Packets.Console1, Packets.Data(1, 1, 0, Packets.Levels(4, 10)));
        // 0x17: text, as ESTA's list of alternate start codes has it.
        Assert.Equal(PacketOutcome.Ignored, merger.Receive(Ms(1), Packets.Console1, Packets.Data(1, 1, 1, Packets.Levels(4, 99), startCode: 0x17)));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal(10, levels[0]);
    }

    [Fact]
    public void A_flood_of_sources_universes_and_senders_is_bounded_and_counted()
    {
        var merger = new UniverseMerger(new WireSettings { MostSourcesPerUniverse = 4, MostUniverses = 8, MostSenders = 16 });
        for (var cid = 1; cid <= 40; cid++)
        {
            merger.Receive(Ms(0), Packets.Console1, Packets.Data(cid, 1, 0, Packets.Levels(4, (byte)cid)));
        }

        Assert.Equal(36, merger.Counters.NoRoom);
        for (var universe = 1; universe <= 50; universe++)
        {
            merger.Receive(Ms(1), Packets.Console1, Packets.Data(1, universe, 1, Packets.Levels(4, 1)));
        }

        Assert.Equal(36 + 42, merger.Counters.NoRoom);
        // A source that fell silent makes room.
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(5000), Packets.Console1, Packets.Data(3, 1, 0, Packets.Levels(4, 77))));
    }

    [Fact]
    public void Nothing_is_allocated_for_a_packet_once_all_is_known()
    {
        var merger = new UniverseMerger(new WireSettings { PerAddressPriority = true }, new CountingSink());
        var packets = new List<byte[]>();
        for (byte sequence = 0; sequence < 200; sequence++)
        {
            for (var universe = 1; universe <= 4; universe++)
            {
                packets.Add(Packets.Data(1, universe, sequence, Packets.Levels(512, sequence), sync: (ushort)(universe == 4 ? 9000 : 0)));
                packets.Add(Packets.Data(2, universe, sequence, Packets.Levels(512, (byte)(255 - sequence))));
            }

            packets.Add(Packets.Data(2, 1, (byte)(sequence + 1), Packets.Levels(512, sequence), startCode: 0xDD));
            packets.Add(Packets.Sync(1, 9000, sequence));
            packets.Add(Packets.ArtDmx(7, (byte)(1 + sequence), Packets.Levels(512, sequence)));
        }

        void Play(int from)
        {
            for (var i = 0; i < packets.Count; i++)
            {
                merger.Receive(Ms(from + i), Packets.Console1, packets[i]);
            }
        }

        Play(0);
        Play(packets.Count);
        var before = GC.GetAllocatedBytesForCurrentThread();
        Play(2 * packets.Count);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void Names_from_outside_carry_no_control_characters()
    {
        Assert.Equal("Desk\uFFFD[31m two", PlainText.From("Desk\u001b[31m two\0rest"u8));
        Assert.Equal("a\uFFFDb", PlainText.From("a\u202Eb"));
        Assert.Equal("\uFFFDx", PlainText.From([0xFF, (byte)'x']));
        Assert.Equal(E131Numbers.Port, Packets.Console1.Port);
    }

    private sealed class CountingSink : ILevelsSink
    {
        public long Count { get; private set; }

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => Count++;
    }

    [Theory]
    [InlineData("1 2 4 3 5", 0, 1)]
    [InlineData("1 2 6 4 3 5 7", 0, 3)]
    [InlineData("1 2 5 3 6", 1, 1)]
    [InlineData("1 2 5 3 3 3 6", 1, 3)]
    [InlineData("1 2 3 2 1 4", 0, 2)]
    [InlineData("253 255 254 0 2 1", 0, 2)]
    [InlineData("10 60 59 20 61", 48, 1)]
    public void What_comes_late_is_not_missing(string numbers, int missing, int late)
    {
        var merger = new UniverseMerger(WireSettings.Default);
        foreach (var (n, i) in numbers.Split(' ').Select((n, i) => (byte.Parse(n, System.Globalization.CultureInfo.InvariantCulture), i)))
        {
            merger.Receive(Ms(25 * i), Packets.Console1, Packets.Data(1, 1, n, Packets.Levels(4, 10)));
        }

        var source = merger.Health().Universes.Single().Sources.Single();
        Assert.Equal((missing, late), (source.Missing, source.OutOfOrder));
        Assert.Equal(missing, merger.Counters.Missing);
    }
}
