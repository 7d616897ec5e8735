using StageView.Snapshot.Files;

namespace StageView.Snapshot.Frames;

/// <summary>Pictures that were drawn already, found by what they were drawn from (<see cref="FrameSidecar.State"/>).</summary>
public sealed class DrawnFrames
{
    private readonly Dictionary<string, FrameEntry> _byState = new(StringComparer.Ordinal);

    /// <param name="sets">Where to look, the first that has one wins.</param>
    public DrawnFrames(IEnumerable<FrameSet> sets)
    {
        ArgumentNullException.ThrowIfNull(sets);
        foreach (var entry in sets.SelectMany(s => s.Frames.Values).Where(e => e.SidecarFile is not null))
        {
            if (Try(() => SnapshotJson.Read<Head>(entry.SidecarFile!)) is { State: { Length: > 0 } state })
            {
                _byState.TryAdd(state, entry);
            }
        }
    }

    /// <summary>Puts the picture of a frame that was drawn from the same into a store.</summary>
    /// <param name="state">What the new frame would be drawn from.</param>
    /// <param name="frame">Its name.</param>
    /// <param name="store">Where it goes.</param>
    /// <returns>The record of the frame it was drawn for; null when there is none, or its picture is damaged: then it is to be drawn.</returns>
    public FrameSidecar? TakeOver(string state, string frame, BaselineStore store)
    {
        ArgumentNullException.ThrowIfNull(store);
        if (!_byState.TryGetValue(state, out var entry) || Try(entry.ReadSidecar) is not { } old)
        {
            return null;
        }

        var file = Try(() => entry.PictureOf(old));
        if (file is null || Try(() => FrameFile.ReadBytes(file)) is not { } bytes || !FrameFile.TryStampedHash(bytes, out var hash) || hash.Text != old.Pixels)
        {
            return null;
        }

        var target = store.PictureFile(frame, hash);
        if (!File.Exists(target))
        {
            FrameFile.SaveBytes(bytes, target);
        }

        return old;
    }

    private static T? Try<T>(Func<T> get)
        where T : class?
    {
        try
        {
            return get();
        }
        catch (SnapshotException)
        {
            return null;
        }
    }

    private sealed record Head
    {
        public string? State { get; init; }
    }
}
