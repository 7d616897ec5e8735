namespace StageView.Rig.Sheets;

/// <summary>A value and where it is from.</summary>
/// <param name="Value">The value.</param>
/// <param name="Source">As a comment says it.</param>
public sealed record Stated<T>(T Value, string Source)
{
    /// <summary>The same source, another value.</summary>
    public Stated<TOther> With<TOther>(TOther value) => new(value, Source);
}

/// <summary>Where values are from.</summary>
internal static class Sources
{
    public const string Assumed = "assumed: common practice, no source";

    public static Stated<T> Assume<T>(T value, string more = "") => new(value, more.Length > 0 ? $"{Assumed}; {more}" : Assumed);
}
