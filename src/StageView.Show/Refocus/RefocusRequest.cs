using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Anchors;

namespace StageView.Show.Refocus;

/// <summary>Which show is refocused, from where, for where. Whoever asks with the same files gets the same answer.</summary>
public sealed record RefocusRequest
{
    /// <summary>The tour's rig file.</summary>
    public required string RigFile { get; init; }

    /// <summary>Today's venue file, or null for the rig as it is.</summary>
    public string? Venue { get; init; }

    /// <summary>The venue file that the show was last focused in, or null for the rig as it is.</summary>
    public string? FromVenue { get; init; }

    /// <summary>A capture of the show; or null, and the looks are taken.</summary>
    public string? Capture { get; init; }

    /// <summary>A folder of look files; or null, and the capture is taken.</summary>
    public string? Looks { get; init; }

    /// <summary>An anchors file, or null.</summary>
    public string? Anchors { get; init; }

    /// <summary>Whether the question makes sense.</summary>
    /// <exception cref="StopException">Not exactly one of capture and looks is named, or both venues are the same.</exception>
    public void Check()
    {
        if ((Capture is null) == (Looks is null))
        {
            throw StopException.Wrong("the positions come from a show: name one with --capture FILE, or looks with --looks DIR");
        }

        if (Venue == FromVenue)
        {
            throw StopException.Wrong("both venues are the same: name today's with --venue FILE, and yesterday's with --from-venue FILE");
        }
    }

    /// <summary>Reads everything and works out where each position is.</summary>
    /// <param name="tell">Told each warning, a text each.</param>
    /// <param name="doubt">Told what is wrong with the capture, so that positions may be missing.</param>
    /// <exception cref="StopException">A file can't be used; every problem is in the message, a line each.</exception>
    public RefocusResult Work(Action<string>? tell = null, Action<string>? doubt = null)
    {
        Check();
        var before = RigFiles.Open(RigFile, FromVenue, tell: tell);
        var after = RigFiles.Open(RigFile, Venue, tell: tell);
        return new RefocusResult(before, after, Answer(before, after, Anchors is { } say ? AnchorsFile.Open(before, after, say) : [], tell, doubt));
    }

    private RefocusAnswer Answer(RigScene before, RigScene after, IReadOnlyList<StatedAnchor> anchors, Action<string>? tell, Action<string>? doubt)
    {
        if (Looks is { } looks)
        {
            using var a = new LooksShow(before, looks);
            using var b = new LooksShow(after, looks, lenient: true);
            return RefocusRun.Answer(a, b, a.Looks, anchors);
        }

        using var old = new CaptureShow(before, Capture!);
        using var now = new CaptureShow(after, Capture!);
        var answer = RefocusRun.Answer(old, now, [.. CueTimes.Cues(Capture!).Select(c => (c.Name, c.Time.TotalSeconds))], anchors);
        old.TellProblems(tell, doubt);
        return answer;
    }
}

/// <summary>An answer and the rigs that it is about.</summary>
/// <param name="Before">The rig in the old venue.</param>
/// <param name="After">The rig in the new venue.</param>
public sealed record RefocusResult(RigScene Before, RigScene After, RefocusAnswer Answer);
