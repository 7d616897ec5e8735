namespace StageView.Stage.Cues;

/// <summary>How a fade runs over its time: share of the way at a share of the time, both 0 to 1.</summary>
internal static class FadeCurve
{
    public static IReadOnlyList<string> Words { get; } = ["linear", "smooth", "slowStart", "slowEnd"];

    /// <param name="word">One of <see cref="Words"/>; linear for anything else.</param>
    /// <param name="x">Share of the time, 0 to 1.</param>
    public static double At(string word, double x) => word switch
    {
        "smooth" => x * x * (3 - (2 * x)),
        "slowStart" => x * x,
        "slowEnd" => 1 - ((1 - x) * (1 - x)),
        _ => x,
    };
}
