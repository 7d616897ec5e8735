using StageView.Wire.E131;
using StageView.Wire.Health;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Levels;

/// <summary>What measures the memory of the whole process runs beside nothing else.</summary>
[CollectionDefinition("alone", DisableParallelization = true)]
public sealed class Alone;

/// <summary>A flood fills every bound; the show goes on all the same.</summary>
[Collection("alone")]
public sealed class FloodTests
{
    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    private static byte[] Data(int cid, int universe, byte sequence, byte level, ushort sync = 0) =>
        Packets.Data(cid, universe, sequence, Packets.Levels(4, level), sync: sync);

    [Fact]
    public void A_patched_universe_finds_room_when_others_took_it_all()
    {
        var merger = new UniverseMerger(new WireSettings { MostUniverses = 8 });
        merger.Reserve([new UniverseNumber(500)]);
        for (var universe = 1; universe <= 20; universe++)
        {
            merger.Receive(Ms(0), Packets.Console1, Data(1, universe, 0, 1));
        }

        Assert.Equal(PacketOutcome.NoRoom, merger.Receive(Ms(1), Packets.Console1, Data(1, 501, 0, 1)));
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(1), Packets.Console1, Data(1, 500, 0, 77)));
    }

    [Fact]
    public void Senders_that_fell_silent_make_room_and_are_known_again_when_they_come_back()
    {
        var merger = new UniverseMerger(new WireSettings { MostSenders = 4 });
        for (var cid = 1; cid <= 10; cid++)
        {
            merger.Receive(Ms(0), Packets.Console1, Data(cid, cid, 0, 1));
        }

        Assert.Equal(6, merger.Counters.NoRoom);
        // All four live: none may be pushed out.
        Assert.Equal(PacketOutcome.NoRoom, merger.Receive(Ms(2000), Packets.Console2, Data(99, 50, 0, 9)));
        for (var cid = 20; cid < 24; cid++)
        {
            Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(4000), Packets.Console2, Data(cid, cid, 0, 9)));
        }

        Assert.Equal([20, 21, 22, 23], merger.Health().Senders.Select(s => Enumerable.Range(1, 99).Single(n => Packets.Cid(n).ToString() == s.Cid)));
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(8000), Packets.Console1, Data(2, 2, 0, 5)));
        var back = merger.Health();
        Assert.Contains(back.Senders, s => s.Cid == Packets.Cid(2).ToString());
        Assert.Equal((2L, SourceStanding.Live), back.Universes.Single(u => u.Universe == 2).Sources.Select(s => (s.Packets, s.Standing)).Single());
    }

    [Fact]
    public void A_sender_of_discovery_alone_is_kept_between_its_packets()
    {
        var merger = new UniverseMerger(new WireSettings { MostSenders = 1 });
        var page = new byte[1144];
        var length = E131Writer.WriteDiscovery(page, Packets.Cid(7), "desk"u8, 0, 0, [1]);
        merger.Receive(Ms(0), Packets.Console1, page.AsSpan(0, length));
        Assert.Equal(PacketOutcome.NoRoom, merger.Receive(Ms(19_000), Packets.Console2, Data(8, 1, 0, 1)));
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(21_000), Packets.Console2, Data(8, 1, 0, 1)));
    }

    [Fact]
    public void Synchronisation_addresses_that_are_over_make_room()
    {
        var merger = new UniverseMerger(WireSettings.Default);
        for (var address = 1; address <= 400; address++)
        {
            merger.Receive(Ms(0), Packets.Console1, Packets.Sync(1, (ushort)address, 0));
        }

        Assert.Equal(144, merger.Counters.NoRoom);
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(3000), Packets.Console1, Packets.Sync(1, 9000, 0)));
        Assert.Equal(PacketOutcome.Held, merger.Receive(Ms(3001), Packets.Console1, Data(1, 1, 0, 1, sync: 9000)));
    }

    [Fact]
    public void Memory_stays_flat_under_a_flood_of_identifiers_names_and_universes()
    {
        var merger = new UniverseMerger(new WireSettings { PerAddressPriority = true, MostUniverses = 256 });
        var watch = new HealthWatch(PatchedUniverses.None);
        var random = new Random(3);
        var at = 0;
        var packet = Packets.Data(1, 1, 0, Packets.Levels(512, 1));
        var sync = Packets.Sync(1, 1, 0);
        var page = new byte[1144];
        E131Writer.WriteDiscovery(page, Packets.Cid(1), "x"u8, 0, 0, [.. Enumerable.Range(1, 512).Select(u => (ushort)u)]);
        long Flood()
        {
            for (var n = 0; n < 60_000; n++)
            {
                // Another CID, name, universe and start code each time; time goes on so that the silent make room for ever new ones.
                random.NextBytes(packet.AsSpan(22, 16));
                random.NextBytes(packet.AsSpan(44, 63));
                packet[113] = (byte)random.Next(0xFA);
                packet[114] = (byte)random.Next(1, 256);
                packet[125] = (byte)(random.Next(2) * 0xDD);
                merger.Receive(Ms(at += 3), Packets.Console1, packet);
                random.NextBytes(sync.AsSpan(22, 16));
                random.NextBytes(sync.AsSpan(45, 2));
                merger.Receive(Ms(at), Packets.Console1, sync);
                packet.AsSpan(22, 16).CopyTo(page.AsSpan(22));
                merger.Receive(Ms(at), Packets.Console1, page);
                if (n % 2000 == 0)
                {
                    watch.Findings(watch.Look(merger));
                }
            }

            return GC.GetTotalMemory(forceFullCollection: true);
        }

        Flood();
        var before = Flood();
        Assert.InRange(Flood() - before, -4_000_000, 4_000_000);
        Assert.InRange(before, 0, 60_000_000);
    }

    [Fact]
    public void ArtNzs_is_ignored_politely()
    {
        var merger = new UniverseMerger(WireSettings.Default);
        merger.Receive(Ms(0), Packets.Console1, Packets.ArtDmx(0, 1, Packets.Levels(4, 10)));
        var nzs = Packets.ArtDmx(0, 2, Packets.Levels(4, 99));
        nzs[9] = 0x51;
        nzs[13] = 0x17;
        Assert.Equal(PacketOutcome.Ignored, merger.Receive(Ms(1), Packets.Console1, nzs));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal((10, 0L), (levels[0], merger.Counters.Malformed));
        // The sequence that it carried is its own.
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(2), Packets.Console1, Packets.ArtDmx(0, 2, Packets.Levels(4, 11))));
    }
}
