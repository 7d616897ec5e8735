using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Stage.Anchors;

namespace StageView.Show.Refocus;

/// <summary>Opens anchors files.</summary>
public static class AnchorsFile
{
    private const int MaxBytes = 16 << 20;

    /// <param name="before">The rig that the show was made on.</param>
    /// <param name="after">The rig in the new venue.</param>
    /// <param name="path">The file.</param>
    /// <exception cref="StopException">It can't be read or has mistakes; every one is in the message, a line each.</exception>
    public static IReadOnlyList<StatedAnchor> Open(RigScene before, RigScene after, string path)
    {
        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{path}: {why}");
        }

        return AnchorFile.TryRead(before, after, bytes, path, out var problems)
            ?? throw StopException.Wrong(string.Join(Environment.NewLine, problems));
    }
}
