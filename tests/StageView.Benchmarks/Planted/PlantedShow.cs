using StageView.Ground.Files;
using StageView.Show.Cues;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Snap;

namespace StageView.Benchmarks.Planted;

/// <summary>The demo, or a copy of it with one change, its capture and frames of it, in a folder of its own.</summary>
internal sealed class PlantedShow
{
    private static readonly string[] _folders = ["scenes/foundry", "assets/fixtures"];

    private readonly string _root;
    private readonly Planting? _planting;

    public PlantedShow(string root, Planting? planting, PlantedShow? original)
    {
        (_root, _planting) = (root, planting);
        foreach (var file in _folders.SelectMany(f => Directory.EnumerateFiles(f, "*", SearchOption.AllDirectories)).Where(f => !f.Contains(".pcapng")))
        {
            var to = Path.Combine(root, file);
            Directory.CreateDirectory(Path.GetDirectoryName(to)!);
            File.Copy(file, to);
        }

        if (planting is not null)
        {
            Plant(planting);
        }

        Capture = original is not null && planting?.File != Plantings.Cues ? original.Capture : Play();
    }

    public string Capture { get; }

    private string Rig => Path.Combine(_root, Plantings.Rig);

    /// <summary>Draws the frames of these moments, or of every change; frames that nothing changed in are taken over from <paramref name="against"/>.</summary>
    /// <returns>Their folder.</returns>
    public string Snap(string name, IReadOnlyList<string> times, string camera, FrameSize size, string? against)
    {
        var folder = Path.Combine(_root, name);
        SnapRun.Run(new SnapRequest
        {
            Rig = Rig, Venue = _planting?.File == Plantings.Venue ? Path.Combine(_root, Plantings.Venue) : null, Capture = Capture,
            Times = times is [Plantings.CueFrames] ? [] : times, Cues = times is [Plantings.CueFrames], Cameras = [camera], Size = size, Against = against,
            Out = folder,
        });
        return folder;
    }

    private void Plant(Planting planting)
    {
        var file = Path.Combine(_root, planting.File);
        var text = planting.Old.Length == 0 ? planting.New : File.ReadAllText(file);
        if (planting.Old.Length > 0)
        {
            // Held against a file that was written anew: a change that is none would be "missed".
            text = text.Split(planting.Old).Length == 2 ? text.Replace(planting.Old, planting.New, StringComparison.Ordinal)
                : throw new InvalidOperationException($"{planting.Name}: {planting.File} should hold once: {planting.Old}");
        }

        File.WriteAllText(file, text);
    }

    private string Play()
    {
        var capture = Path.Combine(_root, "show.pcapng");
        // Cues are known by the cue file beside the capture.
        File.Copy(Path.Combine(_root, Plantings.Cues), Path.Combine(_root, "show.cues.jsonc"));
        var show = CueCapture.Open(RigFiles.Open(Rig), Path.Combine(_root, Plantings.Cues));
        WholeFile.Write(capture, stream => CueCapture.Write(show, stream));
        return capture;
    }
}
