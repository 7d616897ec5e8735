using StageView.Snapshot.Files;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Frames;

/// <summary>
/// A folder of frames as it is written: <c>NAME.frame.json</c> a frame, its picture under <c>pixels/</c> named by its pixel hash, so that
/// identical frames are stored once.
/// </summary>
public sealed class BaselineStore(string folder)
{
    /// <summary>Folder of the pictures.</summary>
    public const string PixelFolder = "pixels";

    /// <summary>Folder of masks that sidecars name.</summary>
    public const string MaskFolder = "masks";

    /// <summary>Folder of what is being taken, until all of it is there.</summary>
    internal const string PendingFolder = ".accepting";

    /// <summary>In it, once all of it is there: what goes where.</summary>
    internal const string PendingFile = "commit.json";

    public string Folder { get; } = folder;

    /// <summary>Keeps a copy of a mask and returns its name as a sidecar in this folder gives it.</summary>
    /// <exception cref="SnapshotException">The mask can't be read.</exception>
    public string SaveMask(string file)
    {
        var name = $"{MaskFolder}/{FileStamp.Of(file).Sha256[..32]}.png";
        var to = Path.Combine(Folder, name);
        if (!File.Exists(to))
        {
            FrameFile.SaveBytes(FrameFile.ReadBytes(file), to);
        }

        return name;
    }

    /// <summary>Writes a frame: the picture unless the store has it already, then the sidecar with the picture's place and hash filled in.</summary>
    public FrameSidecar Save(FrameSidecar sidecar, FrameImage image, PngPacking packing = PngPacking.Usual)
    {
        ArgumentNullException.ThrowIfNull(sidecar);
        ArgumentNullException.ThrowIfNull(image);
        var hash = PixelHash.Of(image);
        var file = PictureFile(sidecar.Frame, hash);
        if (!File.Exists(file))
        {
            FrameFile.SaveBytes(FrameFile.Encode(image, hash, packing), file);
        }

        return Save(sidecar with { Pixels = hash.Text, Width = image.Width, Height = image.Height });
    }

    /// <summary>Writes a sidecar whose picture is stored already.</summary>
    public FrameSidecar Save(FrameSidecar sidecar)
    {
        ArgumentNullException.ThrowIfNull(sidecar);
        var kept = sidecar with { Image = PictureName(sidecar.Pixels) };
        FrameFile.SaveBytes(SidecarText.Of(kept), SidecarFile(sidecar.Frame));
        return kept;
    }

    public string SidecarFile(string frame) => Path.Combine(Folder, Safe(frame) + FrameSidecar.Extension);

    public string PictureFile(string frame, PixelHash hash) =>
        Path.Combine(Path.GetDirectoryName(SidecarFile(frame))!, PictureName(hash.Text));

    /// <summary>Deletes pictures and facts that no sidecar names any more; returns how many.</summary>
    public int Sweep()
    {
        var used = new HashSet<string>(StringComparer.Ordinal);
        foreach (var entry in FrameSet.Open(Folder).Frames.Values)
        {
            if (entry.ReadSidecar() is { } sidecar)
            {
                used.Add(Path.GetFullPath(entry.PictureOf(sidecar)));
                if (sidecar.Facts is { } facts)
                {
                    used.Add(Path.GetFullPath(Path.Combine(Path.GetDirectoryName(entry.SidecarFile!)!, facts)));
                }
            }
        }

        var count = 0;
        foreach (var file in Directory.EnumerateFiles(Folder, "*", SearchOption.AllDirectories))
        {
            var name = Path.GetFileName(file);
            var ours = Path.GetFileName(Path.GetDirectoryName(file)) == PixelFolder && name.Length == 36
                || (name.StartsWith("facts-", StringComparison.Ordinal) && name.EndsWith(".json", StringComparison.Ordinal) && name.Length == 23);
            if (ours && !used.Contains(Path.GetFullPath(file)))
            {
                File.Delete(file);
                count++;
            }
        }

        return count;
    }

    /// <summary>32 of the hash's 64 digits: enough to tell 2^64 pictures apart, short enough to read.</summary>
    internal static string PictureName(string pixels) => $"{PixelFolder}/{pixels[..32]}.png";

    private static string Safe(string frame)
    {
        var parts = frame.Split('/');
        return parts.All(p => p.Length > 0 && p is not ("." or "..") && p.IndexOfAny(Path.GetInvalidFileNameChars()) < 0
            && !p.Contains('\\', StringComparison.Ordinal)) && parts[^1] != PixelFolder
            ? frame
            : throw new SnapshotException($"'{frame}' can't be a frame's name: parts between slashes may not be empty, '.' or '..'");
    }
}
