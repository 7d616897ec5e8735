using System.Buffers.Binary;
using StageView.Ground.Png;

namespace StageView.Snapshot.Images.Png;

/// <summary>Whether a PNG is as it was written: the check of every chunk (ISO/IEC 15948, clause 5.3) and its end.</summary>
internal static class PngChecks
{
    /// <summary>What is wrong, in words; null when nothing is, or when it is no PNG.</summary>
    public static string? Wrong(ReadOnlySpan<byte> file)
    {
        if (!file.StartsWith(PngChunks.Signature))
        {
            return null;
        }

        var rest = file[PngChunks.Signature.Length..];
        Span<byte> name = stackalloc byte[4];
        while (true)
        {
            var at = file.Length - rest.Length;
            if (!PngChunks.TryNext(ref rest, out var type, out var body))
            {
                return "ends in the middle";
            }

            BinaryPrimitives.WriteUInt32BigEndian(name, type);
            if (PngChunks.Check(name, body) != BinaryPrimitives.ReadUInt32BigEndian(file[(at + 8 + body.Length)..]))
            {
                return FormattableString.Invariant($"has a wrong checksum in the chunk at byte {at}");
            }

            if (type == PngFormat.End)
            {
                return null;
            }
        }
    }

    /// <summary>Whether it is a PNG of 16 bits a channel.</summary>
    public static bool IsDeep(ReadOnlySpan<byte> file) => file.Length > PngFormat.HeadLength && file.StartsWith(PngChunks.Signature) && file[24] == 16;
}
