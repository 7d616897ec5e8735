namespace StageView.Snapshot.Compare;

/// <summary>Some pixels of a block: how many, and what they add to its signed sums, levels.</summary>
internal readonly record struct BlockPart(int Count, int Red, int Green, int Blue)
{
    public BlockPart With(byte[] before, byte[] after, int at) =>
        new(Count + 1, Red + after[at] - before[at], Green + after[at + 1] - before[at + 1], Blue + after[at + 2] - before[at + 2]);
}
