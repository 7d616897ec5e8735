using System.Collections.Concurrent;
using StageView.Live.Network;
using StageView.Live.Terms;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>The captures, cue files and looks that can be opened.</summary>
/// <param name="rigFile">Cue files and captures beside it are listed after the recordings.</param>
/// <param name="looks">Folder with looks.</param>
/// <param name="recorder">Whose recordings are listed.</param>
/// <param name="last">Whose frozen minutes are listed first.</param>
internal sealed class Shelf(string rigFile, string looks, NightRecorder recorder, LastMinutes last)
{
    private const string LookEnding = ".look.jsonc";
    private const string CueEnding = ".cues.jsonc";
    private const int MostListed = 200;
    private readonly ConcurrentDictionary<string, double> _lengths = new(StringComparer.Ordinal);

    /// <summary>Keeps the length of a capture that was read through, s.</summary>
    public void Keep(string file, double length) => _lengths[file] = length;

    /// <summary>Everything on it, for the page.</summary>
    public Reply List() => Reply.Done("", new
    {
        captures = Captures().Select(c => new CaptureLine(c.Key, LengthOf(c.Value))),
        cues = CueFiles().Select(f => Path.GetFileName(f)),
        looks = LookNames(),
    });

    /// <summary>Captures by name: frozen minutes, the recordings, then those beside the rig file.</summary>
    public Dictionary<string, string> Captures()
    {
        var files = last.Frozen.ToDictionary(f => f.Name, f => f.File);
        foreach (var name in recorder.Captures())
        {
            files.TryAdd(name, Path.Combine(recorder.Folder, name));
        }

        var beside = Path.GetDirectoryName(Path.GetFullPath(rigFile))!;
        foreach (var file in Directory.EnumerateFiles(beside, "*.pcap*").Where(CaptureNames.IsCapture).Order().Take(MostListed))
        {
            files.TryAdd(Path.GetFileName(file), file);
        }

        return files;
    }

    /// <summary>The cue file of a name beside the rig file, or null where there is none.</summary>
    public string? Cues(string name) => CueFiles().FirstOrDefault(f => Path.GetFileName(f) == name);

    /// <summary>The file of a look by its name, or null where there is none.</summary>
    public string? Look(string name) => LookNames().Contains(name) ? Path.Combine(looks, name + LookEnding) : null;

    /// <summary>
    /// What was read through once, or recorded here, is of known length; to read a file for it would take as long as the file is. s, or null.
    /// </summary>
    private double? LengthOf(string file) =>
        recorder.LengthOf(file) ?? (_lengths.TryGetValue(file, out var known) ? known : null);

    private List<string> CueFiles()
    {
        try
        {
            var beside = Path.GetDirectoryName(Path.GetFullPath(rigFile))!;
            return [.. Directory.EnumerateFiles(beside, "*" + CueEnding).Order(StringComparer.Ordinal).Take(MostListed)];
        }
        catch (IOException)
        {
            return [];
        }
    }

    private List<string> LookNames()
    {
        try
        {
            return Directory.Exists(looks)
                ? [.. Directory.EnumerateFiles(looks, "*" + LookEnding).Select(f => Path.GetFileName(f)[..^LookEnding.Length]).Order().Take(MostListed)]
                : [];
        }
        catch (IOException)
        {
            return [];
        }
    }
}
