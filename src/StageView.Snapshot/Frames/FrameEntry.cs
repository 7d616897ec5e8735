namespace StageView.Snapshot.Frames;

/// <summary>One frame of a set, read when asked.</summary>
/// <param name="Name">Its name in the set.</param>
/// <param name="SidecarFile">Its sidecar, or null for a bare picture.</param>
/// <param name="PictureFile">The picture of a bare frame.</param>
public sealed record FrameEntry(string Name, string? SidecarFile, string? PictureFile)
{
    /// <exception cref="SnapshotException">The sidecar can't be read, or is of another format.</exception>
    public FrameSidecar? ReadSidecar()
    {
        if (SidecarFile is null)
        {
            return null;
        }

        var sidecar = SnapshotJson.Read<FrameSidecar>(SidecarFile);
        return sidecar.Format == FrameSidecar.FormatNow
            ? sidecar
            : throw new SnapshotException($"{SidecarFile} $.format: {sidecar.Format} is not read here, only {FrameSidecar.FormatNow}");
    }

    /// <summary>The picture's file; never outside the sidecar's own folder.</summary>
    public string PictureOf(FrameSidecar? sidecar) => sidecar is null ? PictureFile! : Beside(sidecar.Image, "$.image");

    /// <summary>The rig's facts and the capture's changes, or null when the frame has none.</summary>
    public SetFacts? ReadFacts(FrameSidecar? sidecar) => sidecar?.Facts is { Length: > 0 } file ? FactsOf(file) : null;

    /// <summary>A facts file beside the sidecar, or null when it is not there.</summary>
    internal SetFacts? FactsOf(string file)
    {
        var path = Beside(file, "$.facts");
        return File.Exists(path) ? SnapshotJson.Read<SetFacts>(path) : null;
    }

    private string Beside(string relative, string path)
    {
        var root = Path.GetFullPath(Path.GetDirectoryName(SidecarFile!)!);
        var full = Path.GetFullPath(Path.Combine(root, relative));
        return full.StartsWith(root + Path.DirectorySeparatorChar, StringComparison.Ordinal)
            ? full
            : throw new SnapshotException($"{SidecarFile} {path}: '{relative}' lies outside its folder; only files beside or below it are read");
    }
}
