namespace StageView.Benchmarks.Planted;

/// <summary>One change that is made to a copy of the demo.</summary>
/// <param name="Name">What was changed, for people.</param>
/// <param name="File">The file that it is made in, from the repository's root; a venue file that is none yet is written.</param>
/// <param name="Old">Text that stands there once; empty for a venue file.</param>
/// <param name="New">What stands there then.</param>
/// <param name="At">Moment that shows it.</param>
/// <param name="Camera">Camera that sees it.</param>
internal sealed record Planting(string Name, string File, string Old, string New, string At, string Camera);
