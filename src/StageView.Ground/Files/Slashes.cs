namespace StageView.Ground.Files;

/// <summary>
/// Paths in what is written and said: with <c>/</c> on every system, which Windows takes, too, so that records and lists are the same everywhere.
/// </summary>
public static class Slashes
{
    public static string Of(string path) => Of(path, Path.DirectorySeparatorChar);

    /// <summary>A file's path in a folder.</summary>
    public static string Join(string folder, string name) => Of(Path.Combine(folder, name));

    /// <param name="separator">The system's own: a backslash is a letter of a name elsewhere.</param>
    internal static string Of(string path, char separator) => separator == '\\' ? path.Replace('\\', '/') : path;
}
