namespace StageView.Ground.Systems;

/// <summary>
/// Where a program keeps things by the system's own conventions; the base library knows them: the XDG base directories and user directories of Linux,
/// known folders of Windows, the Library of macOS.
/// </summary>
public static class OwnFolders
{
    /// <summary>
    /// A file of StageView's own that lasts: <c>~/.local/share/stageview</c>, <c>%LOCALAPPDATA%\stageview</c> or
    /// <c>~/Library/Application Support/stageview</c>. Null for a user without such a folder.
    /// </summary>
    public static string? Kept(string name) =>
        Of(Environment.SpecialFolder.LocalApplicationData) is { } folder ? Path.Combine(folder, "stageview", name) : null;

    /// <summary>Recordings of a rig whose own folder can't be written to: in the user's folder for videos, else documents; null where there is none.</summary>
    public static string? Recordings =>
        (Of(Environment.SpecialFolder.MyVideos) ?? Of(Environment.SpecialFolder.MyDocuments)) is { } folder ? Path.Combine(folder, "StageView") : null;

    /// <summary>Whether files can be made in a folder; tried.</summary>
    public static bool CanWrite(string folder)
    {
        var trial = Path.Combine(folder, $".stageview-{Environment.ProcessId}");
        try
        {
            using (new FileStream(trial, FileMode.Create, FileAccess.Write, FileShare.None, 1, FileOptions.DeleteOnClose))
            {
                return true;
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return false;
        }
    }

    private static string? Of(Environment.SpecialFolder folder) =>
        Environment.GetFolderPath(folder, Environment.SpecialFolderOption.DoNotVerify) is { Length: > 0 } path ? path : null;
}
