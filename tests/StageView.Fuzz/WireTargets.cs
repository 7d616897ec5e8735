using System.Buffers.Binary;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Health;
using StageView.Wire.Levels;
using StageView.Wire.Time;
using StageView.Wire.Universes;

namespace StageView.Fuzz;

/// <summary>What the wire room takes from outside.</summary>
internal static class WireTargets
{
    // A capture that stays the same, so that its index isn't stale for its own stamp alone.
    private static readonly Lazy<string> s_indexed = new(Indexed);

    public static IReadOnlyDictionary<string, FuzzTarget> All { get; } = new Dictionary<string, FuzzTarget>
    {
        ["packet"] = new(Packets, Packet),
        ["stream"] = new(() => [Stream(Packets())], Merge),
        ["capture"] = new(Captures, Capture),
        ["index"] = new(() => [File.ReadAllBytes(s_indexed.Value + ".index")[..^32]], Index),
        ["sound"] = new(() => [Sound()], Ltc),
    };

    private static void Packet(byte[] input)
    {
        _ = E131Parser.TryParse(input, out E131DataPacket _, out _);
        _ = E131Parser.TryParseSync(input, out _, out _);
        _ = E131Parser.TryParseDiscovery(input, out _, out _);
        _ = ArtNetParser.TryParse(input, out ArtDmxPacket _, out _);
        _ = ArtNetParser.TryParsePoll(input, out _, out _);
        _ = ArtNetParser.TryParseSync(input, out _);
        _ = ArtTimeCode.TryParse(input, out _, out var why);
        if (PlainText.From(input).Any(char.IsControl) || why.ToString().Length == 0)
        {
            throw new InvalidOperationException("a control character came through");
        }
    }

    // Datagrams with a two-byte length and two bytes of milliseconds before each, into one merger.
    private static void Merge(byte[] input)
    {
        var merger = new UniverseMerger(
            new WireSettings
            {
                PerAddressPriority = input.Length % 2 == 0,
                Tie = input.Length % 3 == 0 ? TieRule.Ltp : TieRule.Htp,
                MostUniverses = 64,
                MostSenders = 16,
                MostSourcesPerUniverse = 4,
            });
        var at = TimeSpan.Zero;
        for (var i = 0; i + 4 <= input.Length;)
        {
            int length = BinaryPrimitives.ReadUInt16BigEndian(input.AsSpan(i));
            at += TimeSpan.FromMilliseconds(BinaryPrimitives.ReadUInt16BigEndian(input.AsSpan(i + 2)));
            i += 4;
            length = Math.Min(length, input.Length - i);
            merger.Receive(at, SourceAddress.IPv4(0x7F00_0001u + (uint)(length % 3), 5568), input.AsSpan(i, length));
            i += length;
        }

        var watch = new HealthWatch(PatchedUniverses.None);
        foreach (var finding in watch.Findings(watch.Look(merger)))
        {
            if (finding.Text.Any(char.IsControl))
            {
                throw new InvalidOperationException("a control character came through");
            }
        }
    }

    private static void Capture(byte[] input)
    {
        var path = Path.Combine(Path.GetTempPath(), $"stageview-fuzz-{Environment.ProcessId}.bin");
        File.WriteAllBytes(path, input);
        try
        {
            var merger = new UniverseMerger(WireSettings.Default);
            using var reader = CaptureReader.Open(path);
            new CapturePlayer(reader, merger).PlayToEnd();
        }
        catch (CaptureException)
        {
            // A refusal that says why is what a foreign file shall get.
        }
        finally
        {
            File.Delete(path);
        }
    }

    // An index that lies beside a capture: taken, or made anew; then the capture is sought by it.
    private static void Index(byte[] input)
    {
        var path = s_indexed.Value;
        // Without its hash a changed index is never taken.
        File.WriteAllBytes(path + ".index", [.. input, .. System.Security.Cryptography.SHA256.HashData(input)]);
        var index = CaptureIndex.Open(path);
        try
        {
            using var reader = CaptureReader.Open(path);
            new CapturePlayer(reader, new UniverseMerger(WireSettings.Default)).SeekTo(index, TimeSpan.FromSeconds(21));
        }
        catch (CaptureException)
        {
            // An index forged with a right hash may lead astray; it must not do worse.
        }
    }

    private static string Indexed()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-fuzz-");
        AppDomain.CurrentDomain.ProcessExit += (_, _) => folder.Delete(recursive: true);
        var path = Path.Combine(folder.FullName, "indexed.pcapng");
        using (var writer = new PcapngWriter(File.Create(path), DateTimeOffset.UnixEpoch.AddYears(56)))
        {
            for (var i = 0; i < 24; i++)
            {
                writer.Write(TimeSpan.FromSeconds(i), SourceAddress.IPv4(0x0A00_0001, 5568), SourceAddress.IPv4(0xEFFF_0001, 5568), Packets()[0]);
            }
        }

        // The index is stale when this differs; seeds of another process must fit too.
        File.SetLastWriteTimeUtc(path, DateTime.UnixEpoch.AddYears(56));
        _ = CaptureIndex.Open(path);
        return path;
    }

    private static void Ltc(byte[] input)
    {
        var path = Path.Combine(Path.GetTempPath(), $"stageview-fuzz-{Environment.ProcessId}.wav");
        File.WriteAllBytes(path, input);
        try
        {
            TimecodeFile.FromSound(path);
        }
        catch (CaptureException)
        {
            // As above.
        }
        finally
        {
            File.Delete(path);
        }
    }

    private static List<byte[]> Packets()
    {
        var buffer = new byte[1200];
        var levels = new byte[512];
        levels.AsSpan().Fill(77);
        byte[] Cut(int length) => buffer[..length];
        var data = new E131DataPacket
        {
            Cid = new Cid(1, 2), SourceName = "desk"u8, Priority = 100, SyncAddress = 9000, Sequence = 1, Universe = new UniverseNumber(1), Levels = levels,
        };
        var seeds = new List<byte[]>
        {
            Cut(E131Writer.Write(buffer, data)),
            Cut(E131Writer.Write(buffer, new E131DataPacket
            {
                Cid = new Cid(1, 3), SourceName = "other"u8, Priority = 100, Sequence = 1, Universe = new UniverseNumber(1), StartCode = 0xDD, Levels = levels,
            })),
            Cut(E131Writer.Write(buffer, new E131SyncPacket(new Cid(1, 2), 1, 9000))),
            Cut(E131Writer.WriteDiscovery(buffer, new Cid(1, 2), "desk"u8, 0, 0, [1, 2, 3])),
            Cut(ArtNetWriter.Write(buffer, new ArtDmxPacket { Sequence = 1, PortAddress = 0, Levels = levels })),
            Cut(ArtTimeCode.Write(buffer, new Timecode(1, 2, 3, 4, TimecodeRate.Ebu25))),
        };
        // ola's discovery: the framing of a data packet with vector 4, then page, last page and one universe.
        var draft = Cut(E131Writer.Write(buffer, new E131DataPacket { Cid = new Cid(1, 4), SourceName = "ola"u8, Universe = new UniverseNumber(1) }))[..119];
        (draft[17], draft[39], draft[43], draft[113], draft[114], draft[115], draft[116], draft[117], draft[118]) = (103, 81, 4, 0xFA, 0xD6, 0, 0, 0, 5);
        seeds.Add(draft);
        byte[] Header(byte high) => [.. "Art-Net\0"u8, 0, high, 0, 14, 0, 0, 0, 0, 0, 0];
        seeds.Add(Header(0x52));
        seeds.Add(Header(0x20));
        return seeds;
    }

    private static byte[] Stream(List<byte[]> packets)
    {
        var bytes = new List<byte>();
        foreach (var p in packets.Concat(packets))
        {
            bytes.AddRange([(byte)(p.Length >> 8), (byte)p.Length, 0, 30]);
            bytes.AddRange(p);
        }

        return [.. bytes];
    }

    private static List<byte[]> Captures()
    {
        var stream = new MemoryStream();
        using (var writer = new PcapngWriter(stream, DateTimeOffset.UnixEpoch.AddYears(56)))
        {
            foreach (var p in Packets())
            {
                writer.Write(TimeSpan.FromMilliseconds(25 * writer.Datagrams), SourceAddress.IPv4(0x0A00_0001, 5568), SourceAddress.IPv4(0xEFFF_0001, 5568), p);
            }
        }

        var pcapng = stream.ToArray();
        // The same frames as pcap: header with Ethernet, then records of one frame each.
        var pcap = new List<byte>([0xD4, 0xC3, 0xB2, 0xA1, 2, 0, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0, 0, 0]);
        for (var at = 0; at + 12 <= pcapng.Length; at += BinaryPrimitives.ReadInt32LittleEndian(pcapng.AsSpan(at + 4)))
        {
            if (pcapng[at] == 6)
            {
                var length = BinaryPrimitives.ReadInt32LittleEndian(pcapng.AsSpan(at + 20));
                pcap.AddRange([1, 0, 0, 0, 0, 0, 0, 0]);
                pcap.AddRange(pcapng[(at + 20)..(at + 24)]);
                pcap.AddRange(pcapng[(at + 20)..(at + 24)]);
                pcap.AddRange(pcapng[(at + 28)..(at + 28 + length)]);
            }
        }

        return [pcapng, [.. pcap]];
    }

    private static byte[] Sound()
    {
        // A square wave of the two stretches of timecode.
        var sound = new List<byte>([.. "RIFF"u8, 0, 0, 0, 0, .. "WAVEfmt "u8, 16, 0, 0, 0, 1, 0, 1, 0, 0x80, 0xBB, 0, 0, 0, 0x77, 1, 0, 2, 0, 16, 0,
            .. "data"u8, 0, 0, 0, 0]);
        var high = false;
        for (var bit = 0; bit < 400; bit++)
        {
            foreach (var half in new[] { 0, 1 })
            {
                high ^= half == 0 || bit % 3 == 0;
                for (var k = 0; k < 12; k++)
                {
                    sound.AddRange([0, high ? (byte)0x20 : (byte)0xE0]);
                }
            }
        }

        return [.. sound];
    }
}
