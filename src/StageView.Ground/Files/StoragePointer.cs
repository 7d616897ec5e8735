namespace StageView.Ground.Files;

/// <summary>
/// What git's large-file storage leaves in place of a file that was not fetched: a few lines of text, the first of which names its specification
/// (git-lfs, docs/spec.md, "The Pointer").
/// </summary>
public static class StoragePointer
{
    /// <summary>What is said of it, after the file's name.</summary>
    public const string Told = "holds only a pointer of git's large-file storage, not the file itself: fetch that first (git lfs pull)";

    /// <param name="start">The file's first bytes, 40 at least where it has them.</param>
    public static bool Is(ReadOnlySpan<byte> start) => start.StartsWith("version https://git-lfs.github.com/spec/"u8);

    /// <param name="path">A file that can be read.</param>
    /// <exception cref="IOException">It can't.</exception>
    public static bool IsAt(string path)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1);
        Span<byte> start = stackalloc byte[64];
        return Is(start[..file.ReadAtLeast(start, start.Length, throwOnEndOfStream: false)]);
    }
}
