using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;
using StageView.Stage.Changes;
using StageView.Wire.Capture;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Show.Snap;

/// <summary>What happens when in a capture.</summary>
internal sealed record CaptureChanges(IReadOnlyList<FoundChange> Changes, TimeSpan End, BestMatch Moves)
{
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public static CaptureChanges Find(RigScene rig, string capture)
    {
        var finder = new ChangeFinder(rig);
        var end = Play(rig, capture, finder);
        var moves = new BestMatch(rig);
        Play(rig, capture, moves);
        return new CaptureChanges(finder.Finish(), end, moves);
    }

    /// <summary>As records, with the names that the cue file beside the capture gives them.</summary>
    public IReadOnlyList<ChangeRecord> Records(string capture, CaptureTimecode? timecode = null)
    {
        timecode ??= CaptureTimecode.Read(capture);
        // Entries with a camera are pictures, the others are cues.
        var named = CueTimes.Read(capture).Where(c => c.Camera is null).ToList();
        return [.. Changes.Select(c => new ChangeRecord
        {
            Number = c.Number,
            Name = named.Where(n => Math.Abs((n.Time - c.Start).TotalSeconds) <= 0.15).MinBy(n => Math.Abs((n.Time - c.Start).Ticks)) is { } cue
                ? $"cue '{cue.Name}'" : null,
            Start = Math.Round(c.Start.TotalSeconds, 3),
            Settled = Math.Round(c.Settled.TotalSeconds, 3),
            IsFlash = c.IsFlash,
            Look = c.Look,
            Shape = c.Shape,
            Timecode = timecode.LabelAt(c.Start),
        })];
    }

    private static TimeSpan Play(RigScene rig, string capture, ILevelsSink sink)
    {
        using var reader = CaptureReader.Open(capture);
        var player = new CapturePlayer(reader, new UniverseMerger(rig.Network.ToWireSettings(), sink));
        player.PlayToEnd();
        return player.Position;
    }
}
