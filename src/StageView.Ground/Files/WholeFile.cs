using StageView.Ground.Systems;

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
        if (!File.Exists(target))
        {
            throw new FileNotFoundException($"{target} is not there", target);
        }

        using (var file = Create(PartOf(target)))
        {
            file.Write(bytes);
        }

        IFileWays.Here.TakeRights(target, PartOf(target));
        Finish(target);
    }

    /// <summary>A file that its owner alone may read, such as a key.</summary>
    /// <exception cref="IOException">As for bytes.</exception>
    /// <exception cref="UnauthorizedAccessException">This user may not write there.</exception>
    public static void WriteOwn(string path, ReadOnlySpan<byte> bytes)
    {
        File.Delete(PartOf(path));
        using (var file = IFileWays.Here.CreateOwn(PartOf(path)))
        {
            file.Write(bytes);
        }

        Finish(path);
    }

    /// <summary>Where another program writes what <see cref="Finish"/> then puts into its place.</summary>
    public static string PartOf(string path) => path + ".part";

    /// <summary>Moves the finished part to its place, over what lies there.</summary>
    /// <exception cref="IOException">There is no part, or it can't be moved.</exception>
    public static void Finish(string path) => IFileWays.Here.MoveOver(PartOf(path), path);

    /// <summary>Whether a path names a device of a system that has them as files.</summary>
    internal static bool IsDevice(string path) => IFileWays.Here.IsDevice(Path.GetFullPath(path));

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
