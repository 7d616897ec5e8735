namespace StageView.Light.Moments;

/// <summary>A convex planar polygon: a run of world points in <see cref="Moment.Outlines"/>, counter-clockwise seen from the lit side.</summary>
public readonly record struct Outline(int First, int Count)
{
    /// <summary>The most vertices a clip may have after being cut by several mirrors.</summary>
    public const int MaxVertices = 16;

    public bool IsEmpty => Count == 0;
}
