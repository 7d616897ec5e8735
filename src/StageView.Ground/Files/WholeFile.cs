namespace StageView.Ground.Files;

/// <summary>
/// Files that are either there in full or not at all: written beside their place as <c>NAME.part</c>, then moved there in one step. What is no file, such
/// as <c>/dev/stdout</c>, is written to as it is: nothing can take its place.
/// </summary>
public static class WholeFile
{
    /// <exception cref="CannotWriteException">This user may not write there.</exception>
    /// <exception cref="IOException">The folder is missing, or the disk is full or can only be read.</exception>
    public static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        if (IsDevice(path))
        {
            using var device = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 1);
            device.Write(bytes);
            return;
        }

        try
        {
            using var file = Create(PartOf(path));
            file.Write(bytes);
        }
        catch
        {
            Drop(PartOf(path));
            throw;
        }

        Finish(path);
    }

    /// <summary>A text in UTF-8 without a byte-order mark.</summary>
    /// <exception cref="IOException">As for bytes.</exception>
    public static void WriteText(string path, string text) => Write(path, System.Text.Encoding.UTF8.GetBytes(text));

    /// <summary>What a writer puts into a stream.</summary>
    /// <exception cref="IOException">As for bytes.</exception>
    public static void Write(string path, Action<Stream> write)
    {
        ArgumentNullException.ThrowIfNull(write);
        if (IsDevice(path))
        {
            // Some writers go back in what they wrote.
            using var kept = new MemoryStream();
            write(kept);
            Write(path, kept.GetBuffer().AsSpan(0, (int)kept.Length));
            return;
        }

        try
        {
            using var file = Create(PartOf(path));
            write(file);
        }
        catch
        {
            Drop(PartOf(path));
            throw;
        }

        Finish(path);
    }

    /// <summary>Puts new bytes into a file that is there: a link goes on pointing where it did, and the file keeps its rights.</summary>
    /// <exception cref="IOException">As for bytes, or there is no such file.</exception>
    public static void Replace(string path, ReadOnlySpan<byte> bytes)
    {
        var target = File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName ?? path;
        var rights = OperatingSystem.IsWindows() ? UnixFileMode.None : File.GetUnixFileMode(target);
        using (var file = Create(PartOf(target)))
        {
            file.Write(bytes);
        }

        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(PartOf(target), rights);
        }

        Finish(target);
    }

    /// <summary>Where another program writes what <see cref="Finish"/> then puts into its place.</summary>
    public static string PartOf(string path) => path + ".part";

    /// <summary>Moves the finished part to its place, over what lies there.</summary>
    /// <exception cref="IOException">There is no part, or it can't be moved.</exception>
    public static void Finish(string path) => File.Move(PartOf(path), path, overwrite: true);

    /// <summary>Whether a path names a device of a system that has them as files; what lies in <c>/dev/shm</c> are files.</summary>
    internal static bool IsDevice(string path) => !OperatingSystem.IsWindows() && Path.GetFullPath(path) is var full
        && full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal) && File.Exists(full);

    /// <summary>What was begun and can't be finished stays nowhere.</summary>
    private static void Drop(string part)
    {
        try
        {
            File.Delete(part);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Why it couldn't be written is told; this would be told in its place.
        }
    }

    private static FileStream Create(string part)
    {
        try
        {
            return new FileStream(part, FileMode.Create, FileAccess.Write);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new CannotWriteException(part, e);
        }
    }
}
