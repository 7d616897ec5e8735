using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Cues;
using StageView.Stage.Levels;

namespace StageView.Show.Cues;

/// <summary>What was written.</summary>
/// <param name="Packets">sACN, Art-Net and timecode, all together.</param>
/// <param name="Bytes">Of the file.</param>
public sealed record CueCaptureReport(long Packets, long Bytes);

/// <summary>A cue file played into a capture, as a desk would have sent it.</summary>
public static class CueCapture
{
    private const int MaxBytes = 16 << 20;

    /// <summary>Reads a cue file against a rig.</summary>
    /// <param name="tell">Told what single fixtures can't do, a text each.</param>
    /// <exception cref="StopException">The file can't be read or has mistakes; every one is in the message, a line each.</exception>
    public static CuePlayer Open(RigScene rig, string path, Action<string>? tell = null)
    {
        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{path}: {why}");
        }

        var player = CueFile.TryRead(rig, bytes, path, out var problems);
        foreach (var p in problems.Where(p => p.Severity == ProblemSeverity.Warning))
        {
            tell?.Invoke(p.ToString());
        }

        return player ?? throw StopException.Wrong(string.Join(Environment.NewLine, problems.Where(p => p.Severity == ProblemSeverity.Error)));
    }

    /// <summary>Plays it from start to end.</summary>
    /// <param name="show">A show of which nothing was played yet.</param>
    /// <param name="stream">Where the capture goes (pcapng).</param>
    /// <param name="progress">Told the show time after each tick.</param>
    public static CueCaptureReport Write(CuePlayer show, Stream stream, Action<TimeSpan>? progress = null)
    {
        ArgumentNullException.ThrowIfNull(show);
        using var desk = new DeskOutput(stream, show);
        var used = Used(show.Levels);
        for (var tick = 0; tick < show.Ticks; tick++)
        {
            show.Play(tick);
            var at = TimeSpan.FromTicks(tick * TimeSpan.TicksPerSecond / show.Rate);
            desk.Tick(at, show.Levels, used);
            progress?.Invoke(at);
        }

        return new CueCaptureReport(desk.Packets, desk.Bytes);
    }

    /// <summary>Last address in use of each universe.</summary>
    private static int[] Used(LevelsEncoder levels)
    {
        var places = levels.Universes.Select((u, i) => (u, i)).ToDictionary(x => x.u, x => x.i);
        var used = new int[levels.Universes.Count];
        foreach (var fixture in levels.Rig.Fixtures)
        {
            foreach (var patch in fixture.Patch.Where(p => p.Break <= fixture.Mode.Footprints.Count))
            {
                var last = patch.Start.Absolute + fixture.Mode.Footprints[patch.Break - 1] - 1;
                for (var u = (patch.Start.Absolute / 512) + 1; ((u - 1) * 512) <= last; u++)
                {
                    if (places.TryGetValue(u, out var place))
                    {
                        used[place] = Math.Max(used[place], Math.Min(last - ((u - 1) * 512) + 1, 512));
                    }
                }
            }
        }

        return used;
    }
}
