using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Capture;

public sealed class CaptureIndexTests
{
    // Ten minutes, 4 universes of two desks that come and go, one of which changes rarely, one Art-Net source that ends early.
    private static string Written()
    {
        var path = Tools.TempFile("long.pcapng");
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        for (var i = 0; i < 6000; i++)
        {
            var at = TimeSpan.FromMilliseconds(100 * i);
            for (var u = 1; u <= 4; u++)
            {
                if (i / 700 % 3 != u % 3)
                {
                    writer.Write(at, Packets.Console1, SourceAddress.IPv4(0xEFFF_0000u + (uint)u, 5568),
                        Packets.Data(1, u, (byte)i, Packets.Levels(512, (byte)(i / 11))));
                }

                if (i / 450 % 2 == 0 && u != 4)
                {
                    writer.Write(at, Packets.Console2, SourceAddress.IPv4(0xEFFF_0000u + (uint)u, 5568),
                        Packets.Data(2, u, (byte)i, Packets.Levels(300, (byte)(255 - (i / 7))), 120));
                }
            }

            if (i < 900)
            {
                writer.Write(at, SourceAddress.IPv4(0x0A00_0009, 6454), SourceAddress.IPv4(0x0A00_0063, 6454),
                    Packets.ArtDmx(20, (byte)((i % 255) + 1), Packets.Levels(512, (byte)(i / 5))));
            }
        }

        return path;
    }

    private static string Levels(UniverseMerger merger) =>
        string.Join('|', new[] { 1, 2, 3, 4, 21 }.Select(u => merger.TryGetLevels(new UniverseNumber(u), out var l) ? Convert.ToHexString(l) : "-"));

    [Fact]
    public void What_an_index_keeps_is_bounded_and_levels_stay_those_of_playing_it_all()
    {
        var path = Written();
        var index = CaptureIndex.Make(path, null, TestContext.Current.CancellationToken, mostKept: 300);
        Assert.InRange(index.Marks.Sum(m => m.Last.Count), 1, 300);
        Assert.InRange(index.Marks.Count, 20, 80);
        foreach (var time in new[] { 7.3, 140, 333.3, 598 }.Select(TimeSpan.FromSeconds))
        {
            using var all = CaptureReader.Open(path);
            var expected = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(all, expected).PlayTo(time);
            using var some = CaptureReader.Open(path);
            var found = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(some, found).SeekTo(index, time);
            Assert.Equal(Levels(expected), Levels(found));
        }
    }

    [Fact]
    public void Levels_at_any_time_are_those_of_playing_it_all_but_little_is_read()
    {
        var path = Written();
        var index = CaptureIndex.Open(path);
        Assert.True(index.Made);
        Assert.False(CaptureIndex.Open(path).Made);
        index = CaptureIndex.Open(path);
        Assert.Equal(599.9, index.Length.TotalSeconds, 3);
        var random = new Random(3);
        for (var n = 0; n < 25; n++)
        {
            var time = TimeSpan.FromSeconds(random.NextDouble() * 610);
            using var all = CaptureReader.Open(path);
            var expected = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(all, expected).PlayTo(time);

            using var reader = CaptureReader.Open(path);
            var merger = new UniverseMerger(WireSettings.Default);
            var player = new CapturePlayer(reader, merger);
            player.SeekTo(index, time);
            Assert.Equal(Levels(expected), Levels(merger));
            Assert.InRange(player.Fed, 0, 8 * 10 * 20);
        }
    }

    [Fact]
    public void While_an_index_is_made_that_of_the_part_read_is_good_within_it()
    {
        var path = Written();
        CaptureIndex? part = null;
        _ = CaptureIndex.Open(path, (upTo, soFar) => part ??= upTo >= TimeSpan.FromSeconds(300) ? soFar() : null);
        Assert.InRange(part!.Length.TotalSeconds, 300, 301);
        foreach (var seconds in new[] { 40.0, 120.7, 299.9 })
        {
            var time = TimeSpan.FromSeconds(seconds);
            using var all = CaptureReader.Open(path);
            var expected = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(all, expected).PlayTo(time);
            using var reader = CaptureReader.Open(path);
            var merger = new UniverseMerger(WireSettings.Default);
            var player = new CapturePlayer(reader, merger);
            player.SeekTo(part, time);
            Assert.Equal(Levels(expected), Levels(merger));
            Assert.InRange(player.Fed, 1, 8 * 10 * 20);
        }
    }

    [Fact]
    public void An_index_that_is_stale_or_broken_is_made_anew()
    {
        var path = Written();
        var length = CaptureIndex.Open(path).Datagrams;
        var bytes = File.ReadAllBytes(path);
        File.WriteAllBytes(path, bytes[..(bytes.Length / 2)]);
        var half = CaptureIndex.Open(path);
        Assert.True(half.Made);
        Assert.InRange(half.Datagrams, 1, length - 1);
        var kept = File.ReadAllBytes(path + ".index");
        var random = new Random(5);
        for (var n = 0; n < 50; n++)
        {
            var broken = (byte[])kept.Clone();
            broken[random.Next(66, 400)] ^= (byte)random.Next(1, 256);
            File.WriteAllBytes(path + ".index", n % 2 == 0 ? broken : kept[..random.Next(kept.Length)]);
            Assert.NotNull(CaptureIndex.Open(path));
        }
    }
}
