namespace StageView.Paperwork.Changes;

/// <summary>What became of something.</summary>
public enum ChangeKind
{
    Added,
    Gone,
    Moved,

    /// <summary>Anything else of it is another: type, mode, addresses, number, name.</summary>
    Altered,
}

/// <summary>One difference between two rigs, or several that are the same.</summary>
/// <param name="Kind">What became of it.</param>
/// <param name="What"><c>fixture</c>, <c>scenery</c> or <c>focus point</c>.</param>
/// <param name="Names">Their names; in the newer rig where they are in both, with the address of new fixtures.</param>
/// <param name="Text">What happened, without the names.</param>
public sealed record RigChange(ChangeKind Kind, string What, IReadOnlyList<string> Names, string Text)
{
    private const int NamesInALine = 5;

    /// <summary>One line; of many names the first few and how many more.</summary>
    public override string ToString()
    {
        var named = string.Join(", ", Names.Take(NamesInALine)) + (Names.Count > NamesInALine ? $" and {Names.Count - NamesInALine} more" : "");
        return Names.Count > 1 ? $"{Names.Count} × {What} {Text}: {named}" : $"{What} {named} {Text}";
    }
}
