using System.Buffers.Binary;

namespace StageView.Live.Server;

internal enum FrameFormat : byte
{
    Jpeg = 0,
    WebP = 1,
    Png = 2,
}

/// <summary>
/// The 32 bytes before each encoded picture, little-endian: 0 kind (1); 1 format; 2 width; 4 height; 6 marker level + 1,
/// or 0; 8 number; 12 show time, s; 16 age of the newest packet when sent, ms (negative: none yet); 20 time to draw, ms;
/// 24 time to encode, ms; 28 rung of the quality ladder; 29 to 31 zero.
/// </summary>
internal readonly record struct FrameHeader(FrameFormat Format, int Width, int Height, int Marker, uint Number, float ShowSeconds, float AgeMs, float DrawMs,
    float EncodeMs, byte Rung)
{
    public const int Length = 32;

    public void Write(Span<byte> bytes)
    {
        bytes[..Length].Clear();
        bytes[0] = 1;
        bytes[1] = (byte)Format;
        BinaryPrimitives.WriteUInt16LittleEndian(bytes[2..], (ushort)Width);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes[4..], (ushort)Height);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes[6..], (ushort)(Marker + 1));
        BinaryPrimitives.WriteUInt32LittleEndian(bytes[8..], Number);
        BinaryPrimitives.WriteSingleLittleEndian(bytes[12..], ShowSeconds);
        BinaryPrimitives.WriteSingleLittleEndian(bytes[16..], AgeMs);
        BinaryPrimitives.WriteSingleLittleEndian(bytes[20..], DrawMs);
        BinaryPrimitives.WriteSingleLittleEndian(bytes[24..], EncodeMs);
        bytes[28] = Rung;
    }

    public static FrameHeader Read(ReadOnlySpan<byte> bytes) => new(
        (FrameFormat)bytes[1],
        BinaryPrimitives.ReadUInt16LittleEndian(bytes[2..]),
        BinaryPrimitives.ReadUInt16LittleEndian(bytes[4..]),
        BinaryPrimitives.ReadUInt16LittleEndian(bytes[6..]) - 1,
        BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]),
        BinaryPrimitives.ReadSingleLittleEndian(bytes[12..]),
        BinaryPrimitives.ReadSingleLittleEndian(bytes[16..]),
        BinaryPrimitives.ReadSingleLittleEndian(bytes[20..]),
        BinaryPrimitives.ReadSingleLittleEndian(bytes[24..]),
        bytes[28]);
}
