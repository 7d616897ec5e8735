using System.Security.Cryptography;
using StageView.Ground.Png;

namespace StageView.Snapshot.Images.Png;

/// <summary>
/// The pixel hash that a PNG of ours carries: 32 bytes of <see cref="PixelHash"/>, then the SHA-256 of everything that decides the pixels
/// as packed (the bodies of IHDR, PLTE, tRNS and all IDAT chunks in file order). The second half must match before the first is believed,
/// so a file whose pixels were changed without us never passes for what it was.
/// </summary>
internal static class PngStamp
{
    public const int Length = 64;

    /// <summary>The file with its stamp put in behind the header.</summary>
    public static byte[] Add(ReadOnlySpan<byte> file, PixelHash hash)
    {
        Span<byte> stamp = stackalloc byte[Length];
        hash.ToBytes().CopyTo(stamp);
        Read(file, stamp[32..], default);
        using var to = new MemoryStream(file.Length + Length + 12);
        to.Write(file[..PngFormat.HeadLength]);
        PngChunks.Write(to, PngFormat.StampType, stamp);
        to.Write(file[PngFormat.HeadLength..]);
        return to.ToArray();
    }

    /// <summary>True when both files carry believable stamps of the same pixels. Stamps that differ are not checked: they decide nothing.</summary>
    public static bool AreSame(byte[] a, byte[] b)
    {
        if (Find(a) is not { } x || Find(b) is not { } y || !a.AsSpan(x, 32).SequenceEqual(b.AsSpan(y, 32)))
        {
            return false;
        }

        var first = Task.Run(() => TryRead(a, out _));
        var second = TryRead(b, out _);
        return first.GetAwaiter().GetResult() && second;
    }

    /// <summary>Where the stamp's bytes lie: behind the header, where we put it.</summary>
    private static int? Find(ReadOnlySpan<byte> file)
    {
        var rest = file.Length > PngFormat.HeadLength ? file[PngFormat.HeadLength..] : default;
        return PngChunks.TryNext(ref rest, out var type, out var body) && type == PngFormat.Stamp && body.Length == Length ? PngFormat.HeadLength + 8 : null;
    }

    public static bool TryRead(ReadOnlySpan<byte> file, out PixelHash hash)
    {
        Span<byte> packed = stackalloc byte[32];
        Span<byte> stamp = stackalloc byte[Length];
        hash = default;
        if (!file.StartsWith(PngChunks.Signature) || !Read(file, packed, stamp) || !packed.SequenceEqual(stamp[32..]))
        {
            return false;
        }

        hash = PixelHash.FromBytes(stamp[..32]);
        return true;
    }

    /// <summary>Hashes what decides the pixels; copies the stamp where there is room for it and says whether there was one.</summary>
    private static bool Read(ReadOnlySpan<byte> file, Span<byte> packed, Span<byte> stamp)
    {
        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var stamped = false;
        var rest = file[PngChunks.Signature.Length..];
        while (PngChunks.TryNext(ref rest, out var type, out var body) && type != PngFormat.End)
        {
            if (type is PngFormat.Header or PngFormat.Palette or PngFormat.Transparency or PngFormat.Data)
            {
                sha.AppendData(body);
            }
            else if (type == PngFormat.Stamp && body.Length == stamp.Length)
            {
                body.CopyTo(stamp);
                stamped = true;
            }
        }

        sha.GetHashAndReset(packed);
        return stamped;
    }
}
