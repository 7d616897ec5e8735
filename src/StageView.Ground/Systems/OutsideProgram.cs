using System.ComponentModel;

namespace StageView.Ground.Systems;

/// <summary>
/// Programs of others, such as ffmpeg, by their names: beside StageView, else in a folder of the PATH; never in the folder that a command is given in, where
/// Windows would look first.
/// </summary>
public static class OutsideProgram
{
    // ERROR_FILE_NOT_FOUND, and ENOENT.
    private const int NotFound = 2;
    private static readonly string s_ending = ThisSystem.Choose(() => "", () => ".exe", () => "");

    /// <summary>What to do where one is missing, for the end of a sentence.</summary>
    /// <param name="package">Its package of Debian's.</param>
    public static string Install(string package) => ThisSystem.Choose(
        () => $"install {package} (Debian: apt-get install {package})",
        () => $"put {package}.exe beside stageview.exe, or into a folder of the PATH",
        () => $"put {package} beside stageview, or into a folder of the PATH");

    /// <returns>Its file; null where it isn't found.</returns>
    /// <param name="name">A bare name, or a path, which is taken as it is.</param>
    public static string? Find(string name) => Find(name, AppContext.BaseDirectory, Environment.GetEnvironmentVariable("PATH") ?? "");

    /// <returns>Its file.</returns>
    /// <exception cref="Win32Exception">It isn't found, as when it is started.</exception>
    public static string File(string name) => Find(name) ?? throw new Win32Exception(NotFound);

    internal static string? Find(string name, string beside, string path)
    {
        if (Path.GetFileName(name) != name)
        {
            return name;
        }

        var file = name.EndsWith(s_ending, StringComparison.OrdinalIgnoreCase) ? name : name + s_ending;
        return path.Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries).Select(f => f.Trim('"')).Where(Path.IsPathFullyQualified).Prepend(beside)
            .Select(f => Path.Combine(f, file)).FirstOrDefault(IsProgram);
    }

    private static bool IsProgram(string file)
    {
        const UnixFileMode run = UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute;
        return System.IO.File.Exists(file) && (!ThisSystem.IsUnix || (System.IO.File.GetUnixFileMode(file) & run) != 0);
    }
}
