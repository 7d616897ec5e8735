using System.Diagnostics;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage.Changes;
using StageView.Wire.Capture;
using StageView.Wire.Levels;

namespace StageView.Show.Notes;

/// <summary>A change found in a capture's levels.</summary>
/// <param name="Seconds">When its first channel moves, s.</param>
/// <param name="Channels">Addresses that move.</param>
/// <param name="IsFlash">Whether the levels are back soon.</param>
public readonly record struct FoundMark(double Seconds, int Channels, bool IsFlash);

/// <summary>Where a capture changes, for a scrubber: the changes that <c>snap</c> takes its frames at.</summary>
public static class FoundMarks
{
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    /// <exception cref="OperationCanceledException">It was told to stop.</exception>
    /// <param name="rig">Whose channels.</param>
    /// <param name="capture">The file.</param>
    /// <param name="stop">Ends the looking.</param>
    /// <param name="share">Of one core, above 0 to 1: a capture of hours is looked through beside what matters more.</param>
    public static IReadOnlyList<FoundMark> In(RigScene rig, string capture, CancellationToken stop, double share = 1)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var finder = new ChangeFinder(rig);
        using var reader = CaptureReader.Open(capture);
        var player = new CapturePlayer(reader, new UniverseMerger(rig.Network.ToWireSettings(), finder));
        for (var to = TimeSpan.FromSeconds(1); !player.AtEnd; to += TimeSpan.FromSeconds(1))
        {
            stop.ThrowIfCancellationRequested();
            var from = Stopwatch.GetTimestamp();
            player.PlayTo(to);
            if (share < 1)
            {
                stop.WaitHandle.WaitOne(Stopwatch.GetElapsedTime(from) * ((1 / share) - 1));
            }
        }

        return [.. finder.Finish().Select(c => new FoundMark(c.Start.TotalSeconds, c.Channels, c.IsFlash))];
    }
}
