namespace StageView.Snapshot.Frames;

/// <summary>A part of the picture that a fixture's light reaches.</summary>
/// <param name="Outline">A convex polygon, x and y in turn, as shares of the frame's width and height from the top left.</param>
/// <param name="Light">How bright it is beside the others, any unit, above 0.</param>
public sealed record ScreenCover(double[] Outline, double Light = 1)
{
    /// <summary>The mirror that threw it there last, or null.</summary>
    public string? Over { get; init; }

    /// <summary>Whether a point of the picture lies in it.</summary>
    public bool Contains(double x, double y)
    {
        var o = Outline;
        var inside = false;
        for (int i = 0, j = o.Length - 2; i + 1 < o.Length; j = i, i += 2)
        {
            if (o[i + 1] > y != o[j + 1] > y && x < ((o[j] - o[i]) * (y - o[i + 1]) / (o[j + 1] - o[i + 1])) + o[i])
            {
                inside = !inside;
            }
        }

        return inside;
    }
}
