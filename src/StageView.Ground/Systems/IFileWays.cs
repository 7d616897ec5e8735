namespace StageView.Ground.Systems;

/// <summary>What files of a system are like.</summary>
internal interface IFileWays
{
    /// <summary>Those of this system.</summary>
    static readonly IFileWays Here = ThisSystem.Choose<IFileWays>(() => new UnixFiles(), () => new WindowsFiles(File.Move), () => new UnixFiles());

    /// <summary>Whether a path, in full, names a device that is written to as it is.</summary>
    bool IsDevice(string full);

    /// <summary>A new file that its owner alone may read.</summary>
    /// <exception cref="IOException">There is one already, or it can't be made.</exception>
    FileStream CreateOwn(string path);

    /// <summary>Gives a file the rights of another.</summary>
    void TakeRights(string from, string to);

    /// <summary>Moves a file over what lies at a place, in one step.</summary>
    /// <exception cref="IOException">It can't be.</exception>
    void MoveOver(string from, string to);
}
