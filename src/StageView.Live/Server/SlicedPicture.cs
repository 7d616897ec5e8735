using System.Buffers.Binary;

namespace StageView.Live.Server;

/// <summary>
/// A packed picture on its way, whole where there is room for it, else in slices. A slice is 16 bytes, little-endian (0 kind (2); 1 to 3 zero; 4 number of
/// the picture; 8 where the slice begins in it; 12 bytes of the whole picture), and its part of the picture's message.
/// </summary>
/// <param name="message">The whole message, header and all; must not change before the last slice was taken.</param>
/// <param name="number">Of the picture.</param>
internal sealed class SlicedPicture(ReadOnlyMemory<byte> message, uint number)
{
    public const int HeadLength = 16;
    private int _at;

    public bool IsSent => _at == message.Length;

    /// <summary>The next message to send.</summary>
    /// <param name="room">Bytes that may be sent, above <see cref="HeadLength"/>.</param>
    public ReadOnlyMemory<byte> Next(int room)
    {
        if (_at == 0 && message.Length <= room)
        {
            _at = message.Length;
            return message;
        }

        var length = Math.Min(message.Length - _at, room - HeadLength);
        var slice = new byte[HeadLength + length];
        slice[0] = 2;
        BinaryPrimitives.WriteUInt32LittleEndian(slice.AsSpan(4), number);
        BinaryPrimitives.WriteInt32LittleEndian(slice.AsSpan(8), _at);
        BinaryPrimitives.WriteInt32LittleEndian(slice.AsSpan(12), message.Length);
        message.Span.Slice(_at, length).CopyTo(slice.AsSpan(HeadLength));
        _at += length;
        return slice;
    }
}
