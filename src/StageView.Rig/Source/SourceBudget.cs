namespace StageView.Rig.Source;

/// <summary>How much JSON one rig may hold in all its files: they are all kept while it is read.</summary>
internal sealed class SourceBudget
{
    /// <summary>A rig of 50,000 fixtures that are each written by themselves has about a million.</summary>
    public const int MaxValues = 1_500_000;

    public const int MaxBytes = 64 << 20;

    /// <summary>Values read so far: texts, numbers, flags, lists, objects.</summary>
    public int Values { get; set; }

    /// <summary>Bytes of the files read so far.</summary>
    public long Bytes { get; set; }
}
