namespace StageView.Paperwork.Lists;

/// <summary>One list of the paperwork.</summary>
/// <param name="Name">File name without extension.</param>
/// <param name="Title">Heading.</param>
/// <param name="Columns">Column heads.</param>
/// <param name="Rows">Cells, one a column.</param>
/// <param name="Notes">Sentences under the table: what the figures are from, cautions.</param>
public sealed record PaperTable(
    string Name, string Title, IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<string>> Rows, IReadOnlyList<string> Notes);
