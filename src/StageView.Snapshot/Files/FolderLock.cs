using StageView.Ground.Files;

namespace StageView.Snapshot.Files;

/// <summary>Keeps two runs out of one folder: a file that is open to one process at a time, and gone when it ends however it ends.</summary>
public static class FolderLock
{
    private const string Name = ".stageview-lock";

    /// <summary>Makes the folder if need be and takes it until the result is disposed of.</summary>
    /// <exception cref="SnapshotException">Another run has it.</exception>
    public static IDisposable Take(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
            return new FileStream(Path.Combine(folder, Name), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.DeleteOnClose);
        }
        catch (IOException e) when (e is not (FileNotFoundException or DirectoryNotFoundException) && File.Exists(Path.Combine(folder, Name)))
        {
            throw new SnapshotException($"{folder}: another run is writing there; let it end, or name another folder", e);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new CannotWriteException(folder, e);
        }
    }
}
