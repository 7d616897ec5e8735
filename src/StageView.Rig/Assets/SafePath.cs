namespace StageView.Rig.Assets;

/// <summary>Names that come out of files and must stay within a folder.</summary>
internal static class SafePath
{
    /// <summary>Joins <paramref name="name"/> to <paramref name="folder"/>; no when it would lead outside it or is rooted.</summary>
    public static bool TryInside(string folder, string name, out string full)
    {
        full = "";
        if (name.Length == 0 || Path.IsPathRooted(name) || name.Contains('\0', StringComparison.Ordinal) || name.Contains(':', StringComparison.Ordinal))
        {
            return false;
        }

        var root = Path.GetFullPath(folder);
        full = Path.GetFullPath(Path.Combine(root, name.Replace('\\', '/')));
        var prefix = root.EndsWith(Path.DirectorySeparatorChar) ? root : root + Path.DirectorySeparatorChar;
        return full.StartsWith(prefix, StringComparison.Ordinal);
    }
}
