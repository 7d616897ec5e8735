using System.Globalization;
using StageView.Ground.Words;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Report;

/// <summary>Answers in one line.</summary>
public static class FrameWords
{
    public static string Say(FrameResult frame)
    {
        ArgumentNullException.ThrowIfNull(frame);
        return Plain(frame) + (frame.OtherLevels.Count == 0 ? ""
            : $"; same picture, other levels: {frame.OtherLevels[0].Text}{(frame.OtherLevels.Count > 1 ? $", and {frame.OtherLevels.Count - 1} more" : "")}");
    }

    private static string Plain(FrameResult frame) =>
        frame.Verdict switch
        {
            FrameVerdict.Identical => "identical",
            FrameVerdict.WithinTolerance when frame.LargestDeep > 0 =>
                $"within tolerance (16 bits: up to {frame.LargestDeep} of 65535, less than one level of 255)",
            FrameVerdict.WithinTolerance => $"within tolerance: largest difference {Counted.Of(frame.LargestLevels, "level")}" + Edges(frame),
            FrameVerdict.Changed =>
                $"changed: {Share(frame.ChangedShare)} of the frame ({Counted.Of(frame.ChangedPixels, "pixel")}"
                + $"{(frame.FaintPixels > 0 ? $", {frame.FaintPixels} of them faint" : "")}), "
                + $"largest difference {Counted.Of(frame.LargestLevels, "level")}{Edges(frame)}{Areas(frame)}",
            FrameVerdict.SizeMismatch => "of another size: " + frame.Message,
            FrameVerdict.Added => "added: the base has no such frame",
            FrameVerdict.Removed => "removed: the new set has no such frame",
            _ => frame.Message ?? "unreadable",
        };

    public static string Say(Cause cause)
    {
        ArgumentNullException.ThrowIfNull(cause);
        var share = cause.Share is { } s ? $"{Share(s),7}  " : "      -  ";
        return share + cause.Text + (cause.Follows is { } f ? $"  (may follow from: {f})" : "");
    }

    public static string Share(double share) => share switch
    {
        0 => "none here",
        < 0.0001 => "<0.01 %",
        < 0.1 => (100 * share).ToString("0.##", CultureInfo.InvariantCulture) + " %",
        _ => (100 * share).ToString("0.#", CultureInfo.InvariantCulture) + " %",
    };

    private static string Areas(FrameResult frame) => frame.Areas.Count == 0 || 2 * frame.FaintPixels < frame.ChangedPixels ? "" : "; faintly " + string.Join("; ", frame.Areas);

    private static string Edges(FrameResult frame) => frame.EdgePixels > 0 ? $", {Counted.Of(frame.EdgePixels, "edge pixel")} forgiven" : "";
}
