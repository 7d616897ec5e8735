namespace StageView.Ground.Systems;

/// <summary>
/// Files of Windows: one that another program holds open can't be replaced. What reads each new file (a search index, a scanner) lets go soon: it is tried
/// again for a second.
/// </summary>
internal sealed class WindowsFiles(Action<string, string, bool> move) : IFileWays
{
    // winerror.h, as HRESULTs: ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION, ERROR_USER_MAPPED_FILE.
    private const int Shared = unchecked((int)0x80070020), Locked = unchecked((int)0x80070021), Mapped = unchecked((int)0x800704C8);
    private const int Tries = 20;
    private static readonly TimeSpan s_pause = TimeSpan.FromMilliseconds(50);

    /// <summary>NUL, CON and others: <c>\\.\NUL</c> in full.</summary>
    public bool IsDevice(string full) => full.StartsWith(@"\\.\", StringComparison.Ordinal);

    /// <summary>A folder of the user's own lends it its rights.</summary>
    public FileStream CreateOwn(string path) => new(path, FileMode.CreateNew, FileAccess.Write);

    /// <summary>Rights come from the folder.</summary>
    public void TakeRights(string from, string to)
    {
    }

    public void MoveOver(string from, string to)
    {
        using var never = new ManualResetEventSlim();
        for (var left = Tries; ; left--)
        {
            try
            {
                move(from, to, true);
                return;
            }
            catch (Exception e) when (IsHeld(e, to))
            {
                if (left == 0)
                {
                    File.Delete(from);
                    throw new IOException($"{to} is held open by another program, or can only be read: close it there, then do this again", e);
                }

                never.Wait(s_pause);
            }
        }
    }

    /// <summary>Replacing a file that is open is told as a right that is missing.</summary>
    private static bool IsHeld(Exception e, string to) =>
        e is IOException { HResult: Shared or Locked or Mapped } || (e is UnauthorizedAccessException && File.Exists(to));
}
