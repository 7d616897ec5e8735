using System.Buffers.Binary;
using System.Globalization;
using System.Net;

namespace StageView.Wire.Datagrams;

/// <summary>
/// Where a datagram came from or went to: an IP address (IPv4 held as its IPv6-mapped form) and a UDP port. A value, so that no packet allocates one.
/// </summary>
/// <param name="High">First 8 bytes of the IPv6 form, big-endian.</param>
/// <param name="Low">Last 8 bytes, big-endian.</param>
/// <param name="Port">UDP port.</param>
public readonly record struct SourceAddress(ulong High, ulong Low, ushort Port)
{
    private const ulong MappedPrefix = 0x0000_FFFF_0000_0000;

    public bool IsIPv4 => High == 0 && (Low & 0xFFFF_FFFF_0000_0000) == MappedPrefix;

    /// <summary>The IPv4 address as a big-endian number; meaningful when <see cref="IsIPv4"/>.</summary>
    public uint IPv4Value => (uint)Low;

    public static SourceAddress IPv4(uint address, ushort port) => new(0, MappedPrefix | address, port);

    public static SourceAddress IPv4(ReadOnlySpan<byte> address, ushort port) => IPv4(BinaryPrimitives.ReadUInt32BigEndian(address), port);

    public static SourceAddress IPv6(ReadOnlySpan<byte> address, ushort port) =>
        new(BinaryPrimitives.ReadUInt64BigEndian(address), BinaryPrimitives.ReadUInt64BigEndian(address[8..]), port);

    public static SourceAddress From(IPEndPoint endPoint)
    {
        Span<byte> bytes = stackalloc byte[16];
        endPoint.Address.MapToIPv6().TryWriteBytes(bytes, out _);
        return IPv6(bytes, (ushort)endPoint.Port);
    }

    /// <summary>Whether both are the same host, whatever the port.</summary>
    public bool SameHost(SourceAddress other) => High == other.High && Low == other.Low;

    public IPEndPoint ToEndPoint()
    {
        Span<byte> bytes = stackalloc byte[16];
        BinaryPrimitives.WriteUInt64BigEndian(bytes, High);
        BinaryPrimitives.WriteUInt64BigEndian(bytes[8..], Low);
        var address = new IPAddress(bytes);
        return new IPEndPoint(IsIPv4 ? address.MapToIPv4() : address, Port);
    }

    public override string ToString() => IsIPv4
        ? string.Create(CultureInfo.InvariantCulture, $"{(byte)(IPv4Value >> 24)}.{(byte)(IPv4Value >> 16)}.{(byte)(IPv4Value >> 8)}.{(byte)IPv4Value}:{Port}")
        : ToEndPoint().ToString();
}
