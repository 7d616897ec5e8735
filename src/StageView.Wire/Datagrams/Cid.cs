using System.Buffers.Binary;
using System.Globalization;

namespace StageView.Wire.Datagrams;

/// <summary>A component identifier (ANSI E1.17, RFC 4122): the 16 bytes that tell one sender from another.</summary>
/// <param name="High">The first 8 bytes, big-endian.</param>
/// <param name="Low">The last 8 bytes, big-endian.</param>
public readonly record struct Cid(ulong High, ulong Low)
{
    public const int Length = 16;

    public static Cid Read(ReadOnlySpan<byte> bytes) =>
        new(BinaryPrimitives.ReadUInt64BigEndian(bytes), BinaryPrimitives.ReadUInt64BigEndian(bytes[8..]));

    public static Cid From(Guid value)
    {
        Span<byte> bytes = stackalloc byte[Length];
        value.TryWriteBytes(bytes, bigEndian: true, out _);
        return Read(bytes);
    }

    public void Write(Span<byte> bytes)
    {
        BinaryPrimitives.WriteUInt64BigEndian(bytes, High);
        BinaryPrimitives.WriteUInt64BigEndian(bytes[8..], Low);
    }

    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture,
        $"{High >> 32:x8}-{(High >> 16) & 0xFFFF:x4}-{High & 0xFFFF:x4}-{Low >> 48:x4}-{Low & 0xFFFF_FFFF_FFFF:x12}");
}
