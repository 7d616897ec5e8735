using System.Security.Cryptography;
using StageView.Ground.Files;
using StageView.Wire.Clock;

namespace StageView.Wire.Capture;

/// <summary>
/// The index on disk, little-endian: magic, then of the capture its length, time of change and a hash of its first 64 KiB (which make
/// it stale when they differ), then tables, marks and runs of timecode, and a hash of all of it. A broken file
/// is as good as none.
/// </summary>
internal static class CaptureIndexFile
{
    private const int HeadLength = 65_536;
    private const int MostItems = 16 << 20;
    private const int DigestLength = 32;
    private const long LongestFile = 1 << 30;

    private static ReadOnlySpan<byte> Magic => "StageView index 4\n"u8;

    public static CaptureIndex? TryRead(string capture, string path)
    {
        try
        {
            var file = new FileInfo(path);
            if (!file.Exists || file.Length is < DigestLength or > LongestFile)
            {
                return null;
            }

            var bytes = File.ReadAllBytes(path);
            var body = bytes.Length - DigestLength;
            if (!SHA256.HashData(bytes.AsSpan(0, body)).AsSpan().SequenceEqual(bytes.AsSpan(body)))
            {
                return null;
            }

            // Places are those of the content, which has no known length where it is compressed.
            var most = IsPacked(capture) ? long.MaxValue : new FileInfo(capture).Length;
            using var reader = new BinaryReader(new MemoryStream(bytes, 0, body));
            if (!reader.ReadBytes(Magic.Length).AsSpan().SequenceEqual(Magic) || !reader.ReadBytes(48).AsSpan().SequenceEqual(Stamp(capture)))
            {
                return null;
            }

            var firstTicks = reader.ReadInt64();
            var length = new TimeSpan(reader.ReadInt64());
            var datagrams = reader.ReadInt64();
            var tables = new InterfaceTable[Count(reader)];
            for (var i = 0; i < tables.Length; i++)
            {
                var big = reader.ReadBoolean();
                var interfaces = new CaptureInterface[Count(reader)];
                for (var k = 0; k < interfaces.Length; k++)
                {
                    interfaces[k] = new CaptureInterface(reader.ReadInt32(), reader.ReadByte(), reader.ReadInt64());
                }

                tables[i] = new InterfaceTable(big, interfaces);
            }

            var marks = new CaptureMark[Count(reader)];
            for (var i = 0; i < marks.Length; i++)
            {
                var at = new TimeSpan(reader.ReadInt64());
                var offset = Offset(reader, most);
                var table = Table(reader, tables.Length);
                var last = new (TimeSpan, long, int)[Count(reader)];
                for (var k = 0; k < last.Length; k++)
                {
                    last[k] = (new TimeSpan(reader.ReadInt64()), Offset(reader, most), Table(reader, tables.Length));
                }

                marks[i] = new CaptureMark(at, offset, table, last);
            }

            var labels = reader.ReadInt64();
            var runs = new (TimecodeAt, TimecodeAt)[Count(reader)];
            for (var i = 0; i < runs.Length; i++)
            {
                runs[i] = (Label(reader), Label(reader));
            }

            return new CaptureIndex(capture, tables, marks, firstTicks, length, datagrams, new TimecodeTrack(runs, labels), made: false);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or FormatException or ArgumentException)
        {
            return null;
        }
    }

    /// <summary>Writes it beside the capture; where that can't be done there is no file.</summary>
    public static void TryWrite(CaptureIndex index, string path)
    {
        try
        {
            var body = new MemoryStream();
            using (var writer = new BinaryWriter(body))
            {
                writer.Write(Magic);
                writer.Write(Stamp(index.Path));
                writer.Write(index.FirstTicks);
                writer.Write(index.Length.Ticks);
                writer.Write(index.Datagrams);
                writer.Write(index.Tables.Count);
                foreach (var table in index.Tables)
                {
                    writer.Write(table.BigEndian);
                    writer.Write(table.Interfaces.Length);
                    foreach (var i in table.Interfaces)
                    {
                        writer.Write(i.LinkType);
                        writer.Write(i.Resolution);
                        writer.Write(i.OffsetSeconds);
                    }
                }

                writer.Write(index.Marks.Count);
                foreach (var mark in index.Marks)
                {
                    writer.Write(mark.At.Ticks);
                    writer.Write(mark.Offset);
                    writer.Write(mark.Table);
                    writer.Write(mark.Last.Count);
                    foreach (var (at, offset, table) in mark.Last)
                    {
                        writer.Write(at.Ticks);
                        writer.Write(offset);
                        writer.Write(table);
                    }
                }

                writer.Write(index.Timecode.Labels);
                writer.Write(index.Timecode.Runs.Count);
                foreach (var (from, to) in index.Timecode.Runs)
                {
                    Write(writer, from);
                    Write(writer, to);
                }
            }

            var bytes = body.ToArray();
            WholeFile.Write(path, file =>
            {
                file.Write(bytes);
                file.Write(SHA256.HashData(bytes));
            });
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // A folder that can't be written: the index lives in memory.
        }
    }

    private static bool IsPacked(string capture)
    {
        using var file = File.Open(capture, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        Span<byte> head = stackalloc byte[4];
        return UnpackedStream.IsPacked(head[..file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false)]);
    }

    private static byte[] Stamp(string capture)
    {
        var stamp = new byte[48];
        var info = new FileInfo(capture);
        BitConverter.TryWriteBytes(stamp, info.Length);
        BitConverter.TryWriteBytes(stamp.AsSpan(8), info.LastWriteTimeUtc.Ticks);
        using var file = File.Open(capture, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        var head = new byte[Math.Min(HeadLength, info.Length)];
        var read = file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        SHA256.HashData(head.AsSpan(0, read), stamp.AsSpan(16));
        return stamp;
    }

    private static void Write(BinaryWriter writer, TimecodeAt label)
    {
        writer.Write(label.At.Ticks);
        writer.Write((byte)label.Timecode.Rate);
        writer.Write(label.Timecode.FrameNumber);
    }

    private static TimecodeAt Label(BinaryReader reader)
    {
        var at = new TimeSpan(reader.ReadInt64());
        var rate = (TimecodeRate)reader.ReadByte();
        var frame = reader.ReadInt32();
        return Enum.IsDefined(rate) && frame >= 0 && frame < Timecode.DayFrames(rate) ? new TimecodeAt(at, Timecode.FromFrameNumber(frame, rate))
            : throw new FormatException();
    }

    private static long Offset(BinaryReader reader, long most)
    {
        var offset = reader.ReadInt64();
        return offset >= 0 && offset < most ? offset : throw new FormatException();
    }

    private static int Count(BinaryReader reader)
    {
        var count = reader.ReadInt32();
        // No item is shorter than a byte, so a count can't be more than what is left.
        return count >= 0 && count <= MostItems && count <= reader.BaseStream.Length - reader.BaseStream.Position ? count : throw new FormatException();
    }

    private static int Table(BinaryReader reader, int tables)
    {
        var table = reader.ReadInt32();
        return table >= 0 && table < tables ? table : throw new FormatException();
    }
}
