using System.Buffers.Binary;
using System.IO.Compression;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Capture;

/// <summary>Captures that are compressed, and datagrams that came in fragments.</summary>
public sealed class PackedCaptureTests
{
    private static readonly SourceAddress s_group = SourceAddress.IPv4(0xEFFF_0001, 5568);

    private static string Written(int seconds = 60)
    {
        var path = Tools.TempFile("show.pcapng");
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        for (var i = 0; i < seconds * 20; i++)
        {
            writer.Write(TimeSpan.FromSeconds(i / 20.0), Packets.Console1, s_group, Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)(i / 3))));
        }

        return path;
    }

    private static string Packed(string path, string how)
    {
        var packed = path + (how.StartsWith("gz", StringComparison.Ordinal) ? ".gz" : ".zst");
        switch (how)
        {
            case "gzip":
                using (var to = new GZipStream(File.Create(packed), CompressionLevel.Fastest))
                {
                    to.Write(File.ReadAllBytes(path));
                }

                break;
            case "gzip, as the program writes it":
                Tools.Need("gzip", "gzip");
                Tools.Run("gzip", "-kf", path);
                break;
            case "gzip in two members":
                var bytes = File.ReadAllBytes(path);
                using (var file = File.Create(packed))
                {
                    foreach (var part in new[] { bytes[..10_001], bytes[10_001..] })
                    {
                        using var to = new GZipStream(file, CompressionLevel.Fastest, leaveOpen: true);
                        to.Write(part);
                    }
                }

                break;
            case "zstd, as the program writes it":
                Tools.Need("zstd", "zstd");
                Tools.Run("zstd", "-qf", path, "-o", packed);
                break;
            default:
                using (var to = new ZstdSharp.CompressionStream(File.Create(packed), 3, leaveOpen: false))
                {
                    to.Write(File.ReadAllBytes(path));
                }

                break;
        }

        return packed;
    }

    private static List<(TimeSpan, string, string)> All(string path, List<string>? problems = null) =>
        [.. CaptureReader.Read(path, problems is null ? null : problems.Add).Select(d => (d.At, d.From.ToString(), Convert.ToHexString(d.Payload.Span)))];

    [Theory]
    [InlineData("gzip")]
    [InlineData("gzip, as the program writes it")]
    [InlineData("gzip in two members")]
    [InlineData("zstd")]
    [InlineData("zstd, as the program writes it")]
    public void A_compressed_capture_is_read_as_it_is(string how)
    {
        var path = Written();
        var packed = Packed(path, how);
        var problems = new List<string>();
        Assert.Equal(All(path), All(packed, problems));
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Any_time_of_a_compressed_capture_has_the_levels_of_playing_it_all(string how)
    {
        var packed = Packed(Written(), how);
        Assert.True(CaptureIndex.Open(packed).Made);
        var index = CaptureIndex.Open(packed);
        Assert.False(index.Made);
        foreach (var time in new[] { 50.02, 3.3, 41.7, 59.9 })
        {
            using var reader = CaptureReader.Open(packed);
            var merger = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(reader, merger).SeekTo(index, TimeSpan.FromSeconds(time));
            Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
            Assert.Equal((byte)((int)(time * 20) / 3), levels[0]);
        }
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void A_compressed_capture_that_is_cut_or_damaged_is_told_and_the_rest_used(string how)
    {
        var path = Written();
        var packed = Packed(path, how);
        var whole = File.ReadAllBytes(packed);
        File.WriteAllBytes(packed, whole[..(whole.Length * 2 / 3)]);
        var problems = new List<string>();
        var all = All(packed, problems);
        Assert.InRange(all.Count, 1, 1199);
        Assert.Equal(All(path)[..all.Count], all);
        Assert.Contains($"its {how} data are damaged or cut near byte", Assert.Single(problems), StringComparison.Ordinal);
        File.WriteAllBytes(packed, whole[..6]);
        Assert.Contains(how, Assert.Throws<CaptureException>(() => CaptureReader.Open(packed)).Message, StringComparison.Ordinal);
        var bad = (byte[])whole.Clone();
        bad.AsSpan(bad.Length / 2, 40).Fill(0x5A);
        File.WriteAllBytes(packed, bad);
        problems.Clear();
        _ = All(packed, problems);
        Assert.NotEmpty(problems);
    }

    [Fact]
    public void A_stamp_from_the_future_in_a_compressed_capture_moves_nothing_else()
    {
        var path = Tools.TempFile("future.pcapng");
        using (var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero)))
        {
            for (var i = 0; i < 1000; i++)
            {
                writer.Write(TimeSpan.FromSeconds(i == 700 ? 90_000 : i / 20.0), Packets.Console1, s_group,
                    Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)));
            }
        }

        var problems = new List<string>();
        Assert.Equal(All(path), All(Packed(path, "zstd"), problems));
        Assert.Equal(TimeSpan.FromSeconds(999 / 20.0), All(path)[^1].Item1);
        Assert.Contains("off and those after it aren't", Assert.Single(problems), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("night.pcapng.gz", true, "night.ltc.wav")]
    [InlineData("night.pcap.zst", true, "night.ltc.wav")]
    [InlineData("night.pcapng", true, "night.ltc.wav")]
    [InlineData("night.tar.gz", false, "night.ltc.wav")]
    public void Names(string name, bool capture, string beside)
    {
        Assert.Equal(capture, CaptureNames.IsCapture(name));
        Assert.Equal(beside, CaptureNames.Beside(name, ".ltc.wav"));
    }

    /// <summary>RFC 791: offsets in 8 bytes, more-fragments 0x2000. RFC 8200 §4.5: the same in a header of its own.</summary>
    private static IEnumerable<byte[]> Split(SourceAddress from, SourceAddress to, byte[] payload, ushort id, int size)
    {
        var six = !from.IsIPv4;
        var header = six ? 40 : 20;
        var packet = new byte[header + 8 + payload.Length];
        FrameWriter.Udp(packet, from, to, payload, id);
        for (var at = 0; at < packet.Length - header; at += size)
        {
            var part = packet.AsSpan(header + at, Math.Min(size, packet.Length - header - at));
            var more = header + at + part.Length < packet.Length;
            var fragment = new byte[header + (six ? 8 : 0) + part.Length];
            packet.AsSpan(0, header).CopyTo(fragment);
            if (six)
            {
                BinaryPrimitives.WriteUInt16BigEndian(fragment.AsSpan(4), (ushort)(8 + part.Length));
                (fragment[6], fragment[40]) = (44, 17);
                BinaryPrimitives.WriteUInt16BigEndian(fragment.AsSpan(42), (ushort)(at | (more ? 1 : 0)));
                BinaryPrimitives.WriteUInt32BigEndian(fragment.AsSpan(44), id);
            }
            else
            {
                BinaryPrimitives.WriteUInt16BigEndian(fragment.AsSpan(2), (ushort)fragment.Length);
                BinaryPrimitives.WriteUInt16BigEndian(fragment.AsSpan(6), (ushort)((at / 8) | (more ? 0x2000 : 0)));
            }

            part.CopyTo(fragment.AsSpan(fragment.Length - part.Length));
            yield return fragment;
        }
    }

    private static string Pcap(IEnumerable<(double At, byte[] Packet)> packets)
    {
        var path = Tools.TempFile("fragments.pcap");
        using var writer = new BinaryWriter(File.Create(path));
        foreach (var word in new uint[] { 0xA1B2C3D4, 0x0004_0002, 0, 0, 65_535, 101 })
        {
            writer.Write(word);
        }

        foreach (var (at, packet) in packets)
        {
            writer.Write((uint)at + 1_767_000_000);
            writer.Write((uint)(at % 1 * 1e6));
            writer.Write((uint)packet.Length);
            writer.Write((uint)packet.Length);
            writer.Write(packet);
        }

        return path;
    }

    public static TheoryData<bool, int, string> Orders() => new()
    {
        { false, 256, "as sent" }, { false, 8, "as sent" }, { false, 400, "last first" }, { false, 256, "twice" }, { true, 256, "as sent" },
        { true, 200, "last first" },
    };

    [Theory]
    [MemberData(nameof(Orders))]
    public void Fragments_are_put_together(bool six, int size, string order)
    {
        var from = six ? SourceAddress.From(new System.Net.IPEndPoint(System.Net.IPAddress.Parse("fe80::1"), 4000)) : Packets.Console1;
        var to = six ? SourceAddress.From(new System.Net.IPEndPoint(Wire.E131.E131Numbers.Group6(1), 5568)) : s_group;
        var expected = Enumerable.Range(0, 20).Select(i => Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i))).ToArray();
        var path = Pcap(expected.SelectMany((payload, i) =>
        {
            var parts = Split(from, to, payload, (ushort)(i + 1), size).ToList();
            if (order == "last first")
            {
                parts.Reverse();
            }

            return order == "twice" ? parts.SelectMany(p => new[] { p, p }).Take((2 * parts.Count) - 1) : parts;
        }).Select((p, i) => (i * .001, p)));
        var problems = new List<string>();
        var all = CaptureReader.Read(path, problems.Add).Select(d => (d.From.ToString(), d.To.ToString(), Convert.ToHexString(d.Payload.Span))).ToList();
        Assert.Equal(expected.Select(p => (from.ToString(), to.ToString(), Convert.ToHexString(p))), all);
        Assert.Empty(problems);
        if (Tools.Has("tshark") && order == "as sent")
        {
            // The independent reader puts together as many.
            Assert.Equal(20, Tools.Run("tshark", "-r", path, "-Y", "udp.dstport == 5568", "-T", "fields", "-e", "frame.number")
                .Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
        }
    }

    [Fact]
    public void What_is_never_whole_is_told_and_many_at_a_time_are_bounded()
    {
        var packets = new List<(double, byte[])>();
        for (var i = 0; i < 200; i++)
        {
            // Each lacks its last part; the last ten are whole.
            var parts = Split(Packets.Console1, s_group, Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)), (ushort)i, 256).ToList();
            packets.AddRange(parts.Take(i < 190 ? parts.Count - 1 : parts.Count).Select(p => (i * .01, p)));
        }

        var problems = new List<string>();
        Assert.Equal(10, All(Pcap(packets), problems).Count);
        Assert.Contains("of 190 packets of sACN or Art-Net it holds a part only", Assert.Single(problems), StringComparison.Ordinal);
    }

    [Fact]
    public void Levels_that_came_in_fragments_are_found_at_any_time()
    {
        var packets = new List<(double, byte[])>();
        for (var i = 0; i < 1200; i++)
        {
            var other = new byte[20 + 8 + 638];
            FrameWriter.Udp(other, Packets.Console2, s_group, Packets.Data(2, 2, (byte)i, Packets.Levels(512, (byte)i)), (ushort)i);
            // Ends at 10 s, and is held.
            var parts = i < 200 ? Split(Packets.Console1, s_group, Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)(i / 3))), (ushort)i, 256) : [];
            packets.AddRange(parts.SelectMany(p => new[] { p, other }).Append(other).Select(p => (i / 20.0, p)));
        }

        var path = Pcap(packets);
        var index = CaptureIndex.Open(path);
        foreach (var time in new[] { 8.0, 30, 55 })
        {
            using var reader = CaptureReader.Open(path);
            var merger = new UniverseMerger(WireSettings.Default);
            new CapturePlayer(reader, merger).SeekTo(index, TimeSpan.FromSeconds(time));
            Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
            Assert.Equal((byte)(Math.Min(199, (int)(time * 20)) / 3), levels[0]);
            Assert.True(merger.TryGetLevels(new UniverseNumber(2), out levels));
            Assert.Equal((byte)(time * 20), levels[0]);
        }
    }
}
