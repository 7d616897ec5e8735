namespace StageView.Ground.Fonts;

/// <summary>DejaVu Sans 2.37, the font of pictures and paper, carried with the program, so that text is the same on every machine.</summary>
public static class SansFont
{
    private static readonly Lazy<byte[]> s_bytes = new(Read);

    /// <summary>Its file (TrueType).</summary>
    public static ReadOnlyMemory<byte> Bytes => s_bytes.Value;

    /// <summary>The same to read from; the reader disposes of it.</summary>
    public static Stream Open() => new MemoryStream(s_bytes.Value, writable: false);

    private static byte[] Read()
    {
        using var stream = typeof(SansFont).Assembly.GetManifestResourceStream("DejaVuSans.ttf") ?? throw new InvalidOperationException("the font is missing");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
