using System.Diagnostics.CodeAnalysis;

namespace StageView.Ground.Files;

/// <summary>Reads files that nobody vouches for: never a pipe or a device, never more bytes than agreed.</summary>
public static class BoundedFile
{
    /// <summary>What is said of what has no length.</summary>
    public const string Empty = "the file is empty, or it is a pipe or a device, which are not read";

    /// <summary>
    /// The whole file. What has no length of its own (a pipe, a device) is not opened: opening it may wait, reading it may never end.
    /// </summary>
    /// <param name="path">Where it lies.</param>
    /// <param name="most">Bytes it may hold.</param>
    /// <param name="bytes">What it holds; never empty.</param>
    /// <param name="why">What is wrong with the file, without its name.</param>
    public static bool TryRead(string path, int most, [NotNullWhen(true)] out byte[]? bytes, out string why)
    {
        bytes = null;
        try
        {
            var info = new FileInfo(path);
            if (!info.Exists)
            {
                why = Directory.Exists(path) ? "this is a folder: name the file in it" : "no such file";
                return false;
            }

            // A link has the length of its own text.
            info = info.ResolveLinkTarget(returnFinalTarget: true) as FileInfo ?? info;
            if (info.Length > most)
            {
                why = TooLarge(most);
                return false;
            }

            if (info.Length == 0)
            {
                why = Empty;
                return false;
            }

            // A file may shrink while it is read.
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1);
            var read = new byte[info.Length];
            var length = file.ReadAtLeast(read, read.Length, throwOnEndOfStream: false);
            if (StoragePointer.Is(read))
            {
                why = StoragePointer.Told;
                return false;
            }

            bytes = length == read.Length ? read : read[..length];
            why = "";
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            why = $"can't be read: {e.Message}";
            return false;
        }
    }

    private static string TooLarge(int most) =>
        most >= 1 << 20 ? $"larger than {most >> 20} MiB, which is the most that is read" : $"larger than {most} bytes, which is the most that is read";
}
