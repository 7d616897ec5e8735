using System.Buffers.Binary;

namespace StageView.Snapshot.Images.Png;

/// <summary>Chunk layout (clause 5.3): length, type, body, check; all 32-bit big-endian.</summary>
internal static class PngChunk
{
    /// <summary>Takes the next whole chunk off <paramref name="rest"/>; its check is not looked at.</summary>
    public static bool TryNext(ref ReadOnlySpan<byte> rest, out uint type, out ReadOnlySpan<byte> body)
    {
        type = 0;
        body = default;
        if (rest.Length < 12)
        {
            return false;
        }

        var length = BinaryPrimitives.ReadUInt32BigEndian(rest);
        if (length > (uint)(rest.Length - 12))
        {
            return false;
        }

        type = BinaryPrimitives.ReadUInt32BigEndian(rest[4..]);
        body = rest.Slice(8, (int)length);
        rest = rest[(12 + (int)length)..];
        return true;
    }

    public static void Write(Stream to, uint type, ReadOnlySpan<byte> body)
    {
        Span<byte> head = stackalloc byte[8];
        BinaryPrimitives.WriteInt32BigEndian(head, body.Length);
        BinaryPrimitives.WriteUInt32BigEndian(head[4..], type);
        to.Write(head);
        to.Write(body);
        Span<byte> check = stackalloc byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(check, Crc32.Of(head[4..], body));
        to.Write(check);
    }
}
