using StageView.Snapshot.Files;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>Pixels to leave out of a comparison, painted in a picture: black or transparent is left out, anything lighter is compared.</summary>
public sealed class FrameMask
{
    private readonly FrameImage _image;

    public FrameMask(FrameImage image)
    {
        ArgumentNullException.ThrowIfNull(image);
        _image = image;
    }

    public int Width => _image.Width;

    public int Height => _image.Height;

    /// <exception cref="SnapshotException">No readable picture.</exception>
    public static FrameMask Load(string path) => new(FrameFile.Load(path));

    public bool Ignores(int x, int y)
    {
        var p = _image.At(x, y);
        return p[3] == 0 || Math.Max(p[0], Math.Max(p[1], p[2])) < 8;
    }
}
