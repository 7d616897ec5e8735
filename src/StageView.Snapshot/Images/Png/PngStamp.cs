using System.Security.Cryptography;

namespace StageView.Snapshot;

/// <summary>
/// The pixel hash that a PNG of ours carries: 32 bytes of <see cref="PixelHash"/>, then the SHA-256 of everything that decides the pixels
/// as packed (the bodies of IHDR, PLTE, tRNS and all IDAT chunks in file order). The second half must match before the first is believed,
/// so a file whose pixels were changed without us never passes for what it was.
/// </summary>
internal static class PngStamp
{
    public const int Length = 64;

    public static bool TryRead(ReadOnlySpan<byte> file, out PixelHash hash)
    {
        hash = default;
        if (!file.StartsWith(PngFormat.Signature))
        {
            return false;
        }

        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        Span<byte> stamp = stackalloc byte[Length];
        var stamped = false;
        var rest = file[PngFormat.Signature.Length..];
        while (PngChunk.TryNext(ref rest, out var type, out var body))
        {
            if (type is PngFormat.Header or PngFormat.Palette or PngFormat.Transparency or PngFormat.Data)
            {
                sha.AppendData(body);
            }
            else if (type == PngFormat.Stamp && body.Length == Length)
            {
                body.CopyTo(stamp);
                stamped = true;
            }
            else if (type == PngFormat.End)
            {
                break;
            }
        }

        Span<byte> packed = stackalloc byte[32];
        if (!stamped || !sha.TryGetHashAndReset(packed, out _) || !packed.SequenceEqual(stamp[32..]))
        {
            return false;
        }

        hash = PixelHash.FromBytes(stamp[..32]);
        return true;
    }
}
