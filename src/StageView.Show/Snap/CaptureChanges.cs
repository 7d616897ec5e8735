using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;
using StageView.Stage.Changes;
using StageView.Wire.Capture;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Show.Snap;

/// <summary>What happens when in a capture.</summary>
/// <param name="Changes">In order of time.</param>
/// <param name="End">The last packet.</param>
/// <param name="Moves">How much the levels move when.</param>
/// <param name="Heard">Universes that say anything in it.</param>
internal sealed record CaptureChanges(IReadOnlyList<FoundChange> Changes, TimeSpan End, BestMatch Moves, IReadOnlySet<int> Heard)
{
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public static CaptureChanges Find(RigScene rig, string capture)
    {
        var finder = new ChangeFinder(rig);
        var heard = new HeardUniverses(finder);
        var end = Play(rig, capture, heard);
        var moves = new BestMatch(rig);
        Play(rig, capture, moves);
        return new CaptureChanges(finder.Finish(), end, moves, heard.All);
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

    /// <summary>Notes which universes come by.</summary>
    private sealed class HeardUniverses(ILevelsSink to) : ILevelsSink
    {
        private readonly HashSet<int> _all = [];

        public IReadOnlySet<int> All => _all;

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
        {
            _all.Add(universe.Value);
            to.OnLevels(universe, at, levels);
        }
    }

    private static TimeSpan Play(RigScene rig, string capture, ILevelsSink sink)
    {
        using var reader = CaptureReader.Open(capture);
        var player = new CapturePlayer(reader, new UniverseMerger(rig.Network.ToWireSettings(), sink));
        player.PlayToEnd();
        return player.Position;
    }
}
