using System.Buffers.Binary;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Exchange;

/// <summary>What a packet holds.</summary>
public enum ExchangeContent : uint
{
    /// <summary>A message in JSON, UTF-8.</summary>
    Json = 0,

    /// <summary>An MVR file.</summary>
    File = 1,
}

/// <summary>A packet's head; all fields big-endian.</summary>
/// <param name="Number">Its place in the message, from 0.</param>
/// <param name="Count">Packets of the message.</param>
/// <param name="Content">What is in it.</param>
/// <param name="Length">Bytes that follow.</param>
public readonly record struct ExchangePacket(uint Number, uint Count, ExchangeContent Content, long Length)
{
    /// <param name="bytes">At least <see cref="ExchangeNumbers.HeaderLength"/>.</param>
    /// <param name="packet">The head.</param>
    /// <param name="refusal">What is wrong, and at which byte.</param>
    public static bool TryRead(ReadOnlySpan<byte> bytes, out ExchangePacket packet, out Refusal refusal)
    {
        packet = default;
        if (bytes.Length < ExchangeNumbers.HeaderLength)
        {
            refusal = new Refusal(RefusalKind.TooShort, bytes.Length, ExchangeNumbers.HeaderLength);
            return false;
        }

        if (BinaryPrimitives.ReadUInt32BigEndian(bytes) != ExchangeNumbers.Header)
        {
            refusal = new Refusal(RefusalKind.NotThisProtocol, 0, BinaryPrimitives.ReadUInt32BigEndian(bytes));
            return false;
        }

        var (version, number, count, type) = (BinaryPrimitives.ReadUInt32BigEndian(bytes[4..]), BinaryPrimitives.ReadUInt32BigEndian(bytes[8..]),
            BinaryPrimitives.ReadUInt32BigEndian(bytes[12..]), BinaryPrimitives.ReadUInt32BigEndian(bytes[16..]));
        var length = BinaryPrimitives.ReadUInt64BigEndian(bytes[20..]);
        if (version != ExchangeNumbers.Version)
        {
            refusal = new Refusal(RefusalKind.BadField, 4, version);
            return false;
        }

        if (count is 0 or > ExchangeNumbers.MostPackets)
        {
            refusal = new Refusal(RefusalKind.BadField, 12, count);
            return false;
        }

        if (number >= count)
        {
            refusal = new Refusal(RefusalKind.BadField, 8, number);
            return false;
        }

        if (type > (uint)ExchangeContent.File)
        {
            refusal = new Refusal(RefusalKind.BadField, 16, type);
            return false;
        }

        var most = type == (uint)ExchangeContent.Json ? ExchangeNumbers.MostJsonBytes : ExchangeNumbers.MostFileBytes;
        if (length > (ulong)most)
        {
            refusal = new Refusal(RefusalKind.BadLength, 20, length > long.MaxValue ? long.MaxValue : (long)length);
            return false;
        }

        refusal = Refusal.None;
        packet = new ExchangePacket(number, count, (ExchangeContent)type, (long)length);
        return true;
    }

    /// <param name="bytes">At least <see cref="ExchangeNumbers.HeaderLength"/>.</param>
    public void Write(Span<byte> bytes)
    {
        BinaryPrimitives.WriteUInt32BigEndian(bytes, ExchangeNumbers.Header);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[4..], ExchangeNumbers.Version);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[8..], Number);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[12..], Count);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[16..], (uint)Content);
        BinaryPrimitives.WriteUInt64BigEndian(bytes[20..], (ulong)Length);
    }
}
