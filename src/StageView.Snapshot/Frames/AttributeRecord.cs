namespace StageView.Snapshot.Frames;

/// <summary>One attribute of a fixture, in physical units.</summary>
/// <param name="Name">What it is called, such as <c>Pan</c>.</param>
/// <param name="Value">Its value in the unit, or null where only words say it.</param>
/// <param name="Unit">deg, m, lm, K, Hz, %, or empty.</param>
/// <param name="Text">A slot or a state in words, or null.</param>
public sealed record AttributeRecord(string Name, double? Value, string Unit = "", string? Text = null);
