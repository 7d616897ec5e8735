using System.Text.Json.Serialization;

namespace StageView.Wire.Health;

/// <summary>Something about the network that the designer should know, in plain words.</summary>
/// <param name="Kind">What kind.</param>
/// <param name="Universe">Which universe; null for the whole.</param>
/// <param name="Stands">True for a fault that stands; false for a remark.</param>
/// <param name="Text">One line: what, where, and what to do where that is known.</param>
public sealed record Finding(FindingKind Kind, int? Universe, bool Stands, string Text)
{
    /// <summary>For one source of one universe; null where the text says all.</summary>
    [JsonIgnore]
    public FindingDetail? Detail { get; init; }
}
