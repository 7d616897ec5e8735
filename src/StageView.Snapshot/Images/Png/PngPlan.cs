namespace StageView.Snapshot;

/// <summary>What the chunks before the pixels say.</summary>
internal sealed class PngPlan
{
    public int Width { get; set; }

    public int Height { get; set; }

    public int Depth { get; set; }

    public int Colour { get; set; }

    public byte[] Palette { get; set; } = [];

    public byte[] Transparency { get; set; } = [];

    /// <summary>Where the bodies of the IDAT chunks lie in the file.</summary>
    public List<(int At, int Length)> Data { get; } = [];
}
