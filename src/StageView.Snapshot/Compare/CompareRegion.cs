namespace StageView.Snapshot.Compare;

/// <summary>A rectangle of the frame with its own rule. Sides are shares of the frame's width and height, 0 to 1 from the top left.</summary>
public sealed record CompareRegion
{
    public required string Name { get; init; }

    public required double Left { get; init; }

    public required double Top { get; init; }

    public required double Width { get; init; }

    public required double Height { get; init; }

    /// <summary>True when nothing in it is compared.</summary>
    public bool Ignore { get; init; }

    /// <summary>The tolerance in it, levels, or null for the frame's own.</summary>
    public int? Levels { get; init; }

    /// <summary>Its pixels in a frame of that size: first column and row, and those after the last.</summary>
    internal (int X0, int Y0, int X1, int Y1) Pixels(int width, int height) => (
        Math.Clamp((int)Math.Round(Left * width), 0, width),
        Math.Clamp((int)Math.Round(Top * height), 0, height),
        Math.Clamp((int)Math.Round((Left + Width) * width), 0, width),
        Math.Clamp((int)Math.Round((Top + Height) * height), 0, height));
}
