using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Images;
using StageView.Snapshot.Images.Png;

namespace StageView.Snapshot.Sets;

/// <summary>Compares two picture files: equal bytes, then equal pixel hashes, and only then pixels.</summary>
public static class PairComparer
{
    /// <exception cref="SnapshotException">A file can't be read.</exception>
    public static FrameComparison Compare(string before, string after, CompareSettings settings, FrameMask? mask = null)
    {
        var first = Task.Run(() => FrameFile.ReadBytes(before));
        var second = FrameFile.ReadBytes(after);
        var result = Compare(first.GetAwaiter().GetResult(), before, second, after, settings, mask, out var a, out var b);
        FrameBuffers.Return(a?.Rgba);
        FrameBuffers.Return(b?.Rgba);
        return result;
    }

    internal static FrameComparison Compare(
        byte[] before, string beforeName, byte[] after, string afterName, CompareSettings settings, FrameMask? mask, out FrameImage? a, out FrameImage? b)
    {
        (a, b) = (null, null);
        if (before.AsSpan().SequenceEqual(after))
        {
            FrameFile.Check(before, beforeName);
            return new FrameComparison { Verdict = FrameVerdict.Identical };
        }

        if (PngStamp.AreSame(before, after))
        {
            FrameFile.Check(before, beforeName);
            FrameFile.Check(after, afterName);
            return new FrameComparison { Verdict = FrameVerdict.Identical };
        }

        // Decoding is most of the time: both at once.
        var first = Task.Run(() => FrameFile.Decode(before, beforeName));
        FrameImage? second = null;
        try
        {
            second = FrameFile.Decode(after, afterName);
        }
        finally
        {
            if (second is null)
            {
                ((IAsyncResult)first).AsyncWaitHandle.WaitOne();
            }
        }

        (a, b) = (first.GetAwaiter().GetResult(), second);
        if (mask is not null && (mask.Width != a.Width || mask.Height != a.Height))
        {
            throw new SnapshotException($"the mask has {mask.Width}x{mask.Height} pixels, {beforeName} has {a.Width}x{a.Height}: paint it at the frame's size");
        }

        var result = FrameComparer.Compare(a, b, settings, mask);

        // At 8 bits equal, at 16 perhaps not.
        return result.Verdict == FrameVerdict.Identical && PngChecks.IsDeep(before) && PngChecks.IsDeep(after)
            && DeepPng.LargestDifference(before, after) is > 0 and var deep
            ? result with { Verdict = FrameVerdict.WithinTolerance, LargestDeep = deep } : result;
    }
}
