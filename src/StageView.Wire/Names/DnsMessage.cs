using System.Buffers.Binary;
using System.Net;
using System.Text;

namespace StageView.Wire.Names;

/// <summary>
/// A DNS message (RFC 1035, 4.1). What is read comes from anyone: bytes, records, labels and the length of names are bounded, and a pointer of a
/// compressed name leads only backwards, so that none can go in a circle.
/// </summary>
internal sealed class DnsMessage
{
    public ushort Id { get; init; }

    public bool IsResponse { get; init; }

    public List<DnsQuestion> Questions { get; } = [];

    /// <summary>Answers, and in a query the answers already known.</summary>
    public List<DnsRecord> Answers { get; } = [];

    /// <summary>Authority and additional records.</summary>
    public List<DnsRecord> Others { get; } = [];

    /// <returns>Null where the bytes are no message.</returns>
    public static DnsMessage? Read(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length is < DnsNumbers.HeaderLength or > DnsNumbers.MostBytes)
        {
            return null;
        }

        Span<int> counts = stackalloc int[4];
        for (var i = 0; i < 4; i++)
        {
            counts[i] = BinaryPrimitives.ReadUInt16BigEndian(bytes[(4 + (2 * i))..]);
        }

        if (counts[0] + counts[1] + counts[2] + counts[3] > DnsNumbers.MostRecords)
        {
            return null;
        }

        var message = new DnsMessage { Id = BinaryPrimitives.ReadUInt16BigEndian(bytes), IsResponse = (bytes[2] & 0x80) != 0 };
        var at = DnsNumbers.HeaderLength;
        for (var i = 0; i < counts[0]; i++)
        {
            if (!TryName(bytes, ref at, out var name) || at + 4 > bytes.Length)
            {
                return null;
            }

            message.Questions.Add(new DnsQuestion(name, BinaryPrimitives.ReadUInt16BigEndian(bytes[at..])));
            at += 4;
        }

        for (var i = 0; i < counts[1] + counts[2] + counts[3]; i++)
        {
            if (!TryRecord(bytes, ref at, out var record))
            {
                return null;
            }

            if (record is not null)
            {
                (i < counts[1] ? message.Answers : message.Others).Add(record);
            }
        }

        return message;
    }

    /// <summary>Names are written in full: nobody has to compress (RFC 1035, 4.1.4).</summary>
    public byte[] Write()
    {
        using var to = new MemoryStream();
        Span<byte> head = stackalloc byte[DnsNumbers.HeaderLength];
        BinaryPrimitives.WriteUInt16BigEndian(head, Id);
        BinaryPrimitives.WriteUInt16BigEndian(head[2..], IsResponse ? DnsNumbers.ResponseFlags : (ushort)0);
        BinaryPrimitives.WriteUInt16BigEndian(head[4..], (ushort)Questions.Count);
        BinaryPrimitives.WriteUInt16BigEndian(head[6..], (ushort)Answers.Count);
        BinaryPrimitives.WriteUInt16BigEndian(head[8..], 0);
        BinaryPrimitives.WriteUInt16BigEndian(head[10..], (ushort)Others.Count);
        to.Write(head);
        foreach (var q in Questions)
        {
            WriteName(to, q.Name);
            Write16(to, q.Type);
            Write16(to, DnsNumbers.Internet);
        }

        foreach (var r in Answers.Concat(Others))
        {
            WriteRecord(to, r);
        }

        return to.ToArray();
    }

    private static bool TryRecord(ReadOnlySpan<byte> bytes, ref int at, out DnsRecord? record)
    {
        record = null;
        if (!TryName(bytes, ref at, out var name) || at + 10 > bytes.Length)
        {
            return false;
        }

        var type = BinaryPrimitives.ReadUInt16BigEndian(bytes[at..]);
        var kind = BinaryPrimitives.ReadUInt16BigEndian(bytes[(at + 2)..]);
        var ttl = BinaryPrimitives.ReadUInt32BigEndian(bytes[(at + 4)..]);
        var length = BinaryPrimitives.ReadUInt16BigEndian(bytes[(at + 8)..]);
        var from = at + 10;
        at = from + length;
        if (at > bytes.Length)
        {
            return false;
        }

        var content = bytes[from..at];
        var made = new DnsRecord { Name = name, Type = type, Ttl = ttl, Flush = (kind & DnsNumbers.CacheFlush) != 0 };
        switch (type)
        {
            case DnsNumbers.A when length == 4:
            case DnsNumbers.Aaaa when length == 16:
                record = made with { Address = new IPAddress(content) };
                return true;
            case DnsNumbers.Ptr:
                record = TryName(bytes[..at], ref from, out var target) ? made with { Target = target } : null;
                return record is not null;
            case DnsNumbers.Srv when length > 6:
                var port = BinaryPrimitives.ReadUInt16BigEndian(content[4..]);
                from += 6;
                record = TryName(bytes[..at], ref from, out var host) ? made with { Target = host, Port = port } : null;
                return record is not null;
            case DnsNumbers.Txt:
                record = made with { Texts = Texts(content) };
                return true;
            default:
                return type is not (DnsNumbers.A or DnsNumbers.Aaaa or DnsNumbers.Srv);
        }
    }

    private static List<string> Texts(ReadOnlySpan<byte> content)
    {
        var texts = new List<string>();
        while (content.Length > 0 && content[0] < content.Length && texts.Count < DnsNumbers.MostTexts)
        {
            if (content[0] > 0)
            {
                texts.Add(Encoding.UTF8.GetString(content[1..(1 + content[0])]));
            }

            content = content[(1 + content[0])..];
        }

        return texts;
    }

    private static bool TryName(ReadOnlySpan<byte> bytes, ref int at, out string name)
    {
        name = "";
        var (read, end, length, before) = (at, -1, 0, at);
        var text = new StringBuilder();
        while (read < bytes.Length)
        {
            var first = bytes[read];
            if (first == 0)
            {
                at = end < 0 ? read + 1 : end;
                name = text.ToString();
                return true;
            }

            if ((first & 0xC0) == 0xC0)
            {
                if (read + 1 >= bytes.Length)
                {
                    return false;
                }

                end = end < 0 ? read + 2 : end;
                read = ((first & 0x3F) << 8) | bytes[read + 1];
                if (read >= before)
                {
                    return false;
                }

                before = read;
                continue;
            }

            length += first + 1;
            if (first > DnsNumbers.MostLabelBytes || read + 1 + first > bytes.Length || length > DnsNumbers.MostNameBytes)
            {
                return false;
            }

            text.Append(DnsName.Label(Encoding.UTF8.GetString(bytes.Slice(read + 1, first)))).Append('.');
            read += first + 1;
        }

        return false;
    }

    private static void WriteRecord(MemoryStream to, DnsRecord r)
    {
        WriteName(to, r.Name);
        Write16(to, r.Type);
        Write16(to, (ushort)(DnsNumbers.Internet | (r.Flush ? DnsNumbers.CacheFlush : 0)));
        Span<byte> ttl = stackalloc byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(ttl, r.Ttl);
        to.Write(ttl);
        using var content = new MemoryStream();
        switch (r.Type)
        {
            case DnsNumbers.Ptr:
                WriteName(content, r.Target);
                break;
            case DnsNumbers.Srv:
                // Priority and weight 0: there is one host.
                Write16(content, 0);
                Write16(content, 0);
                Write16(content, r.Port);
                WriteName(content, r.Target);
                break;
            case DnsNumbers.Txt:
                foreach (var t in r.Texts.Select(t => Encoding.UTF8.GetBytes(DnsName.Cut(t, 255))))
                {
                    content.WriteByte((byte)t.Length);
                    content.Write(t);
                }

                if (r.Texts.Count == 0)
                {
                    content.WriteByte(0);
                }

                break;
            default:
                content.Write(r.Address?.GetAddressBytes() ?? []);
                break;
        }

        Write16(to, (ushort)content.Length);
        content.WriteTo(to);
    }

    private static void WriteName(MemoryStream to, string name)
    {
        foreach (var label in DnsName.Labels(name).Select(l => Encoding.UTF8.GetBytes(DnsName.Cut(l))).Where(l => l.Length > 0))
        {
            to.WriteByte((byte)label.Length);
            to.Write(label);
        }

        to.WriteByte(0);
    }

    private static void Write16(MemoryStream to, ushort value)
    {
        to.WriteByte((byte)(value >> 8));
        to.WriteByte((byte)value);
    }
}
