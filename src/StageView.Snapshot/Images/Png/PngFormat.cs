namespace StageView.Snapshot;

/// <summary>Constants of the PNG datastream (clauses 5.2, 5.3, 11.2).</summary>
internal static class PngFormat
{
    public const uint Header = 0x49484452;       // IHDR
    public const uint Palette = 0x504C5445;      // PLTE
    public const uint Transparency = 0x74524E53; // tRNS
    public const uint Data = 0x49444154;         // IDAT
    public const uint End = 0x49454E44;          // IEND

    /// <summary>Our own stamp, <c>svPX</c>: ancillary, private, not safe to copy (an editor that changes pixels must drop it; clause 5.4).</summary>
    public const uint Stamp = 0x73765058;        // svPX

    public const int GreyColour = 0;
    public const int TrueColour = 2;
    public const int PaletteColour = 3;
    public const int GreyAlpha = 4;
    public const int TrueColourAlpha = 6;

    public static ReadOnlySpan<byte> Signature => [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A];

    public static int Samples(int colourType) => colourType switch
    {
        GreyColour or PaletteColour => 1,
        GreyAlpha => 2,
        TrueColour => 3,
        TrueColourAlpha => 4,
        _ => 0,
    };
}
