namespace StageView.Snapshot.Files;

/// <summary>How hard a PNG is packed.</summary>
public enum PngPacking
{
    /// <summary>For pictures that are looked at once.</summary>
    Quick,

    /// <summary>For frames of a run.</summary>
    Usual,

    /// <summary>For baselines, which stay in a repository: some 7 % smaller, ten times slower.</summary>
    Smallest,
}
