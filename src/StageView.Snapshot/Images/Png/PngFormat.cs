namespace StageView.Snapshot.Images.Png;

/// <summary>Constants of the PNG datastream (clauses 5.2, 5.3, 11.2).</summary>
internal static class PngFormat
{
    public const uint Header = 0x49484452;       // IHDR
    public const uint Palette = 0x504C5445;      // PLTE
    public const uint Transparency = 0x74524E53; // tRNS
    public const uint Data = 0x49444154;         // IDAT
    public const uint End = 0x49454E44;          // IEND

    /// <summary>Our own, <c>svPX</c>.</summary>
    public const uint Stamp = 0x73765058;

    /// <summary>The same as letters.</summary>
    public static ReadOnlySpan<byte> StampType => "svPX"u8;

    /// <summary>Signature and IHDR chunk: what comes before everything else.</summary>
    public const int HeadLength = 8 + 12 + 13;
}
