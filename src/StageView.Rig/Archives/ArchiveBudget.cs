namespace StageView.Rig.Archives;

/// <summary>How much untrusted archives may unpack to, shared by an archive and those within it.</summary>
internal sealed class ArchiveBudget
{
    public const int MaxEntries = 4096;
    public const int MaxEntryBytes = 64 << 20;

    /// <summary>Bytes left.</summary>
    public long Left { get; set; } = 512L << 20;
}
