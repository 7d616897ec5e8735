namespace StageView.Ground.Systems;

/// <summary>Files of Linux and macOS: devices among them, and rights in their inodes.</summary>
internal sealed class UnixFiles : IFileWays
{
    /// <summary>What lies in <c>/dev/shm</c> are files.</summary>
    public bool IsDevice(string full) =>
        full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal) && File.Exists(full);

    public FileStream CreateOwn(string path)
    {
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (ThisSystem.IsUnix)
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        return new FileStream(path, options);
    }

    public void TakeRights(string from, string to)
    {
        if (ThisSystem.IsUnix)
        {
            File.SetUnixFileMode(to, File.GetUnixFileMode(from));
        }
    }

    public void MoveOver(string from, string to) => File.Move(from, to, overwrite: true);
}
