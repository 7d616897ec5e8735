namespace StageView.Wire.Health;

/// <summary>A source that began or ceased to be heard, on all universes where it did so between two looks.</summary>
/// <param name="Kind">What happened.</param>
/// <param name="Source">The source as a reader calls it.</param>
/// <param name="Universes">Rising.</param>
public sealed record SourceTurn(SourceTurnKind Kind, string Source, IReadOnlyList<int> Universes)
{
    /// <summary>One line.</summary>
    public string Text => FindingWords.Say(this);
}

/// <summary>What happened to a source.</summary>
public enum SourceTurnKind
{
    Sends,
    Stopped,
    Ended,
    PreviewRefused,
}
