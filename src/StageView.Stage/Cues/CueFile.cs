using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Looks;

namespace StageView.Stage.Cues;

/// <summary>Who sends a cue file's levels, as the capture shows it.</summary>
/// <param name="Source">Source name of sACN.</param>
/// <param name="From">IPv4 address that sACN comes from.</param>
/// <param name="ArtNetFrom">IPv4 address that Art-Net comes from.</param>
/// <param name="ArtNetTo">IPv4 address that Art-Net goes to.</param>
/// <param name="Start">Date and time of the first packet.</param>
public sealed record CueSender(string Source, string From, string ArtNetFrom, string ArtNetTo, DateTimeOffset Start);

/// <summary>A time of a cue file that has a name.</summary>
/// <param name="Name">What <c>cue:NAME</c> calls it.</param>
/// <param name="Seconds">Since the show's start.</param>
/// <param name="Camera">The camera it is best seen from, or empty.</param>
/// <param name="Note">What can be seen, or empty.</param>
public sealed record NamedCue(string Name, double Seconds, string Camera, string Note);

/// <summary>Reads cue files: JSON with comments, what a show does when.</summary>
public static class CueFile
{
    /// <summary>Reads a whole cue file against a rig.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="json">The file's bytes.</param>
    /// <param name="file">What messages call it.</param>
    /// <param name="problems">
    /// What is wrong, each with line and path. Errors are mistakes; warnings are what single fixtures can't do, the rest of the show stands.
    /// </param>
    /// <returns>The show, or null where there are mistakes.</returns>
    public static CuePlayer? TryRead(RigScene rig, ReadOnlySpan<byte> json, string file, out IReadOnlyList<RigProblem> problems)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var found = new ProblemList();
        CuePlayer? player = null;
        if (SourceParser.TryParse(json, file, found) is { } root && KeyChecker.Check(root, CueKeys.Cues, found))
        {
            player = new CuePlayer(rig, root, found);
        }

        problems = found.ToList();
        return found.Errors == 0 ? player : null;
    }

    /// <summary>
    /// The named times, pictures first, then cues. Only those are read: the rest of the file may be anything, and an entry without name or time is passed over.
    /// </summary>
    /// <param name="why">Why the file can't be read, with its line; empty when it can.</param>
    public static IReadOnlyList<NamedCue> NamedTimes(ReadOnlySpan<byte> json, string file, IEnumerable<string> keys, out string why)
    {
        var found = new ProblemList();
        var root = SourceParser.TryParse(json, file, found);
        why = root is null ? found.ToList()[0].ToString() : "";
        if (root is null)
        {
            return [];
        }

        var untold = new ProblemList();
        var scopes = CueScope.Of(root, CueClock.Of(root, untold), untold);
        var named = new List<NamedCue>();
        foreach (var key in keys)
        {
            foreach (var scope in scopes.Where(s => key == "cues" || s.Name.Length == 0))
            {
                named.AddRange(scope.Node.ListOf(key).Where(e => scope.NameOf(e).Length > 0 && e.Has("time"))
                    .Select(e => (Entry: e, Reads: scope.Clock.TryRead(e.Get("time")!, out var t), Time: t)).Where(e => e.Reads)
                    .Select(e => new NamedCue(scope.NameOf(e.Entry), e.Time, e.Entry.TextOr("camera"), e.Entry.TextOr("note"))));
            }
        }

        return named;
    }

    /// <summary>The music that a cue file names, the rest of which may be anything; null where there is none that can be played.</summary>
    public static CueSound? Sound(ReadOnlySpan<byte> json, string file)
    {
        var untold = new ProblemList();
        return SourceParser.TryParse(json, file, untold) is { } root ? CueSound.Read(root, CueClock.Of(root, untold), untold) : null;
    }

    /// <summary>The JSON Schema of cue files.</summary>
    public static string Schema() => SchemaWriter.Write(CueKeys.Cues, "StageView cue file");

    /// <summary>The JSON Schema of look files.</summary>
    public static string LookSchema() => SchemaWriter.Write(LookKeys.Look, "StageView look");
}
