using StageView.Ground.Files;
using StageView.Light.Moments;
using StageView.Rig.Pieces;

namespace StageView.Show.Frames;

/// <summary>Which frames a render verb was asked for, and what their files are called.</summary>
public static class FrameNames
{
    /// <summary>The cameras by name, or the rig's first when none is named.</summary>
    public static IReadOnlyList<Camera> Cameras(RigScene rig, IReadOnlyList<string> names)
    {
        if (rig.Cameras.Count == 0)
        {
            throw StopException.Wrong($"{rig.File} has no camera: add one under \"cameras\"");
        }

        if (names.Count == 0)
        {
            return [rig.Cameras[0]];
        }

        return [.. names.Select(n => rig.Cameras.FirstOrDefault(c => string.Equals(c.Name, n, StringComparison.OrdinalIgnoreCase))
            ?? throw StopException.Wrong($"{rig.File} has no camera named {n}{rig.WhereGone(n)}; it has "
                + $"{string.Join(", ", rig.Cameras.Select(c => c.Name))}"))];
    }

    /// <summary>File of one frame: the path itself when it is the only frame and ends in the format's extension, a name in the folder otherwise.</summary>
    public static string FileOf(string outPath, bool alone, string label, string camera, string extension = ".png")
    {
        if (outPath.EndsWith(extension, StringComparison.OrdinalIgnoreCase))
        {
            return alone
                ? outPath
                : throw StopException.Wrong($"--out {outPath} is one file, but several frames were asked for: name a folder");
        }

        return Slashes.Join(outPath, $"{Slug(label)}-{Slug(camera)}{extension}");
    }

    /// <summary>Letters, digits and single dashes of a name.</summary>
    public static string Slug(string name)
    {
        var chars = name.ToLowerInvariant().Select(c => char.IsAsciiLetterOrDigit(c) || c == '.' ? c : '-').ToArray();
        return string.Join('-', new string(chars).Split('-', StringSplitOptions.RemoveEmptyEntries)).Trim('.') is { Length: > 0 } s ? s : "frame";
    }
}
