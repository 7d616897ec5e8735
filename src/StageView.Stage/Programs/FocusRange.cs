namespace StageView.Stage.Programs;

/// <summary>
/// What a focus channel's value means: a range that goes beyond 1 is in metres; a share runs from 2 m to 60 m, even in 1/distance as a lens's travel nearly is.
/// </summary>
public static class FocusRange
{
    private const float Nearest = 2, Farthest = 60;

    /// <summary>The focused distance, m.</summary>
    /// <param name="most">The upper end of the function's range.</param>
    /// <param name="value">The attribute's value.</param>
    public static float Metres(float most, float value) =>
        most > 1 ? Math.Max(0, value) : 1 / float.Lerp(1 / Nearest, 1 / Farthest, Math.Clamp(value, 0, 1));

    /// <summary>The attribute's value for a focused distance in m; below 0 or above 1 where a share can't have it.</summary>
    public static float Value(float most, float metres) =>
        most > 1 ? metres : ((1 / metres) - (1 / Nearest)) / ((1 / Farthest) - (1 / Nearest));
}
