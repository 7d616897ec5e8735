using System.Buffers.Binary;

namespace StageView.Live.Pictures;

/// <summary>What the two processes say to each other.</summary>
internal enum PictureWord
{
    // To the drawing process.
    Tables = 1,
    Moment = 2,
    Draw = 3,
    Title = 4,
    Cameras = 5,
    Stand = 6,
    GiveUp = 7,
    Aside = 8,

    // From the drawing process.
    Hello = 65,
    Picture = 66,
    Taken = 67,
    Shown = 68,
    Pick = 69,
    Trouble = 70,
    WindowClosed = 71,
    Standing = 72,
    Alive = 73,
    GivenUp = 74,
}

/// <summary>
/// Messages over the pipes between the listening and the drawing process: 4 bytes word, 4 bytes length, little-endian,
/// then the payload. Both ends are the same program, so structures go as they lie in memory.
/// </summary>
internal sealed class PictureWire(Stream read, Stream write)
{
    /// <summary>A picture of 8192 × 8192, and some.</summary>
    private const int Longest = 300 << 20;

    private readonly Lock _writing = new();
    private byte[] _payload = [];

    public void Send(PictureWord word, ReadOnlySpan<byte> first, ReadOnlySpan<byte> second = default)
    {
        Span<byte> head = stackalloc byte[8];
        BinaryPrimitives.WriteInt32LittleEndian(head, (int)word);
        BinaryPrimitives.WriteInt32LittleEndian(head[4..], first.Length + second.Length);
        lock (_writing)
        {
            write.Write(head);
            write.Write(first);
            write.Write(second);
            write.Flush();
        }
    }

    /// <summary>The next message; its payload is valid until the next call. False at the end of the pipe.</summary>
    public bool TryReceive(out PictureWord word, out ReadOnlyMemory<byte> payload)
    {
        Span<byte> head = stackalloc byte[8];
        word = default;
        payload = default;
        if (read.ReadAtLeast(head, 8, throwOnEndOfStream: false) < 8)
        {
            return false;
        }

        word = (PictureWord)BinaryPrimitives.ReadInt32LittleEndian(head);
        var length = BinaryPrimitives.ReadInt32LittleEndian(head[4..]);
        if (length is < 0 or > Longest)
        {
            throw new InvalidDataException($"a message of {length} bytes between our own processes");
        }

        if (_payload.Length < length)
        {
            _payload = new byte[length + (length / 8)];
        }

        if (read.ReadAtLeast(_payload.AsSpan(0, length), length, throwOnEndOfStream: false) < length)
        {
            return false;
        }

        payload = _payload.AsMemory(0, length);
        return true;
    }
}
