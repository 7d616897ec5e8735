using StageView.Ground.Files;
using StageView.Stage.Cues;
using StageView.Wire.Capture;

namespace StageView.Show.Sources;

/// <summary>A time of a capture that has a name.</summary>
/// <param name="Name">What <c>cue:NAME</c> calls it.</param>
/// <param name="Time">Show time.</param>
/// <param name="Camera">The camera it is best seen from, or null.</param>
/// <param name="Note">What can be seen, or empty.</param>
public sealed record CueTime(string Name, TimeSpan Time, string? Camera, string Note);

/// <summary>Named times from the cue file beside a capture: <c>show.cues.jsonc</c> for <c>show.pcapng</c>.</summary>
public static class CueTimes
{
    private const int MaxBytes = 16 << 20;

    public static string FileFor(string capture) => CaptureNames.Beside(capture, ".cues.jsonc");

    /// <summary>The named times, pictures first, then cues; empty when there is no cue file.</summary>
    /// <exception cref="StopException">The cue file can't be read.</exception>
    public static IReadOnlyList<CueTime> Read(string capture) => Read(capture, "pictures", "cues");

    /// <summary>The cues alone, by time; empty when there is no cue file.</summary>
    /// <exception cref="StopException">The cue file can't be read.</exception>
    public static IReadOnlyList<CueTime> Cues(string capture) => [.. Read(capture, "cues").OrderBy(c => c.Time)];

    /// <summary>The music that the cue file names; null where there is none, or no cue file that can be read.</summary>
    public static CueSound? Sound(string capture)
    {
        var file = FileFor(capture);
        return BoundedFile.TryRead(file, MaxBytes, out var bytes, out _) ? CueFile.Sound(bytes, file) : null;
    }

    private static IReadOnlyList<CueTime> Read(string capture, params string[] keys)
    {
        var file = FileFor(capture);
        if (!File.Exists(file))
        {
            return [];
        }

        if (!BoundedFile.TryRead(file, MaxBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{file}: {why}");
        }

        var named = CueFile.NamedTimes(bytes, file, keys, out why);
        return why.Length == 0
            ? [.. named.Select(n => new CueTime(n.Name, TimeSpan.FromSeconds(n.Seconds), n.Camera.Length > 0 ? n.Camera : null, n.Note))]
            : throw StopException.Wrong(why);
    }

    public static CueTime Find(string capture, string name)
    {
        var cues = Read(capture);
        if (cues.Count == 0)
        {
            throw StopException.Wrong($"cue:{name} needs {FileFor(capture)}, which is not there or names no times");
        }

        return cues.FirstOrDefault(c => string.Equals(c.Name, name, StringComparison.OrdinalIgnoreCase))
            ?? throw StopException.Wrong($"{FileFor(capture)} has no cue named {name}; it has {string.Join(", ", cues.Select(c => c.Name))}");
    }
}
