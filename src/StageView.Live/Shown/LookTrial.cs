using StageView.Live.RigFile;
using StageView.Rig.Pieces;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>A look that stands in for the console, and the file it came from.</summary>
internal sealed record LookTrial(string Name, string File, LookShow Show, FileWatch Watch)
{
    /// <summary>Reads a look; null when it can't be read or no line of it can be used.</summary>
    /// <param name="why">What of it can't be used, in one line; or empty.</param>
    public static LookTrial? Read(string name, string file, RigScene rig, out string why)
    {
        // Watched from before it is read, so that no save falls between.
        var watch = new FileWatch();
        watch.Follow([file]);
        return LookShow.TryOpen(rig, file, out var show, out why) ? new LookTrial(name, file, show, watch) : null;
    }

    /// <summary>The look on another rig, or as it was saved anew; null when no line of it can be used there.</summary>
    public LookTrial? On(RigScene rig, out string why) => LookShow.TryOpen(rig, File, out var show, out why) ? this with { Show = show } : null;
}
