namespace StageView.Live.Shown;

/// <summary>A folder of the system's own for files that nobody keeps; deleted when disposed of.</summary>
internal sealed class ScratchFolder : IDisposable
{
    private readonly string _path = Directory.CreateTempSubdirectory("stageview-").FullName;

    /// <summary>Full path.</summary>
    public string Folder => _path;

    public string File(string name) => Path.Combine(_path, name);

    public void Dispose()
    {
        try
        {
            Directory.Delete(_path, recursive: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Something still reads it: the system clears its folder for such files by itself.
        }
    }
}
