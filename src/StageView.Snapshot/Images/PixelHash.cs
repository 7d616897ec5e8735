using System.Buffers.Binary;
using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;

namespace StageView.Snapshot.Images;

/// <summary>
/// What a picture shows, as 64 lower-case hexadecimal digits: SHA-256 over width and height (32-bit, big-endian) and the RGBA bytes. Equal pixels, equal hash,
/// however the file is packed.
/// </summary>
public readonly record struct PixelHash
{
    private PixelHash(string text) => Text = text;

    public string Text { get; }

    public static PixelHash Of(FrameImage image)
    {
        ArgumentNullException.ThrowIfNull(image);
        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        Span<byte> size = stackalloc byte[8];
        BinaryPrimitives.WriteInt32BigEndian(size, image.Width);
        BinaryPrimitives.WriteInt32BigEndian(size[4..], image.Height);
        sha.AppendData(size);
        sha.AppendData(image.Rgba);
        Span<byte> hash = stackalloc byte[32];
        sha.GetHashAndReset(hash);
        return FromBytes(hash);
    }

    public static PixelHash FromBytes(ReadOnlySpan<byte> bytes) => new(Convert.ToHexStringLower(bytes));

    public static bool TryParse([NotNullWhen(true)] string? text, out PixelHash hash)
    {
        var ok = text is { Length: 64 } && text.All(c => c is (>= '0' and <= '9') or (>= 'a' and <= 'f'));
        hash = ok ? new PixelHash(text!) : default;
        return ok;
    }

    public byte[] ToBytes() => Convert.FromHexString(Text);

    public override string ToString() => Text ?? "";
}
