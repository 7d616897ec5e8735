using System.Text.Json.Serialization;

namespace StageView.Benchmarks;

/// <summary>
/// One measured figure; printed as one JSON line and kept in <c>out/bench/</c>; <see cref="MeasurementPage"/> writes them for people, with what
/// <see cref="Meanings"/> says.
/// </summary>
/// <param name="Name">Dotted name, such as <c>render.720p.100beams</c>.</param>
/// <param name="Value">The measured value (a median where it was repeated).</param>
/// <param name="Unit">Unit of the value: s, ms, packets/s, cores, share, 1.</param>
/// <param name="Against">What it was measured beside in the same run, if anything.</param>
/// <param name="Ratio">Value divided by the other's value.</param>
public sealed record Figure(
    [property: JsonPropertyName("name")] string Name,
    [property: JsonPropertyName("value")] double Value,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("against"), JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Against = null,
    [property: JsonPropertyName("ratio"), JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] double? Ratio = null);
