using System.Globalization;
using StageView.Ground.Indices;
using StageView.Ground.Words;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Stage;
using StageView.Stage.Content;
using StageView.Wire.Clock;

namespace StageView.Live.Shown;

/// <summary>
/// The contents of the rig shown, laid over the pixels of whichever stage is shown. Frames are read beside it: a stage at rest comes to rest on the right
/// ones. <see cref="Make"/> may be called at any time, one caller at a time, the rest by whoever holds the stages.
/// </summary>
internal sealed class ContentDesk
{
    private readonly ContentParts _parts;
    private readonly TimeSpan _earlier;
    private ContentPiece[] _pieces = [];
    private PlacedContent[] _placed = [];
    private CaptureDeck? _capture;
    private bool _isLook;
    private Timecode? _heard;

    /// <param name="parts">What all share.</param>
    public ContentDesk(ContentParts parts)
    {
        _parts = parts;

        // A seat's own time begins when somebody takes it; contents run from when the show began on all of them.
        _earlier = parts.Clock.GetElapsedTime(parts.Began);
    }

    /// <summary>Whether a content is a live input that is not opened.</summary>
    public static bool IsClosed(ContentPiece piece) => piece.Placement.Input is not null && piece.Input is null;

    /// <summary>The contents of a rig. What reads a file that is the same as before goes on; nothing is shown of it yet.</summary>
    public ContentPiece[] Make(RigScene rig)
    {
        var before = _pieces.Where(p => p.File is { Trouble: null }).DistinctBy(p => p.Key).ToDictionary(p => p.Key, p => p.File!);
        var maps = new ContentMaps(rig);
        return [.. rig.Content.Select(c => Piece(c, maps, before))];
    }

    /// <summary>Shows these from now on.</summary>
    /// <returns>Closes what only the ones before needed; for when the stages are let go.</returns>
    public Action Show(ContentPiece[] pieces)
    {
        var gone = _pieces;
        _pieces = pieces;
        _placed = [.. pieces.Select(p => p.Placed).OfType<PlacedContent>()];
        return () => Close(gone, pieces);
    }

    /// <summary>Lays them over a stage, before a moment is made of it.</summary>
    public void LayOver(StageModel stage, CaptureDeck? capture, bool isLook)
    {
        (_capture, _isLook) = (capture, isLook);
        _heard = capture is null && !isLook && _pieces.Any(p => p.Placement.StartTimecode is not null) ? _parts.Heard() : null;
        stage.Content = _placed;
    }

    /// <summary>What each shows at a time of what was laid over last.</summary>
    public IReadOnlyList<ContentLine> Lines(RigScene rig, TimeSpan at) => [.. _pieces.Select(p => Line(rig, p, at))];

    /// <summary>What is wrong with each, or null.</summary>
    public IReadOnlyList<(string Name, string? Trouble)> Troubles() => [.. _pieces.Select(p => (p.Placement.Name, IsClosed(p) ? Closed : p.Trouble))];

    /// <summary>Said of a live input that is not opened.</summary>
    private const string Closed = "live inputs are opened by live --inputs";

    private ContentPiece Piece(ContentPlacement c, ContentMaps maps, Dictionary<string, WishedFrames> before)
    {
        if (c.Input is { } input)
        {
            var live = _parts.Inputs?.Take(input);
            return new ContentPiece(c, "", null, live, live is null ? null : Place(c, live, maps));
        }

        var key = Key(c);
        if (!before.TryGetValue(key, out var frames))
        {
            before[key] = frames = WishedFrames.Of(c, _parts.Changed);

            // What can't be read is told before its time comes.
            _ = frames.FrameAt(c.Offset, c.Repeat);
        }

        return new ContentPiece(c, key, frames, null, Place(c, frames, maps));
    }

    /// <summary>Stages dispose what lies over them, and this goes on over another.</summary>
    private PlacedContent Place(ContentPlacement c, IContentFrames frames, ContentMaps maps) => new(c, new Lent(frames), maps.Of(c), at => Since(c, at));

    /// <summary>A file that was written anew is another; of a sequence the folder tells.</summary>
    private static string Key(ContentPlacement c)
    {
        var stamp = c.FullPath.Contains('%', StringComparison.Ordinal) ? Directory.GetLastWriteTimeUtc(Path.GetDirectoryName(c.FullPath) ?? ".")
            : File.GetLastWriteTimeUtc(c.FullPath);
        return string.Create(CultureInfo.InvariantCulture,
            $"{c.FullPath}|{stamp.Ticks}|{c.SequenceRate}|{c.Repeat}|{c.Start.Ticks}|{c.StartTimecode}|{c.Clock}|{c.Offset.Ticks}|{c.Pace}");
    }

    private TimeSpan? Since(ContentPlacement c, TimeSpan at) =>
        _capture is { } capture ? ContentTimes.Since(c, at, capture.Track)
        : c.StartTimecode is null ? at + _earlier - c.Start
        : _heard is { } now ? ContentTimes.Since(c, now) : null;

    private ContentLine Line(RigScene rig, ContentPiece piece, TimeSpan at)
    {
        var c = piece.Placement;
        ContentLine Is(string state, long? seconds = null, string? why = null) => new(c.Name, On(rig, c), state, seconds, why);
        if (IsClosed(piece))
        {
            return Is("closed", why: Closed);
        }

        var since = Since(c, at);
        if (piece.Trouble is { } trouble)
        {
            return Is("lost", why: trouble);
        }

        if (since is null || since < TimeSpan.Zero)
        {
            return Is("waits", why: since is null ? WhyNoTime(c) : c.StartTimecode is { } tc ? $"starts at {tc}" : $"starts at {ClockText(c.Start)}");
        }

        if (piece.IsAwaited)
        {
            return Is("waits", why: $"no picture has come from {c.Input!.Address} yet");
        }

        return piece.File is null || WishedFrames.IsStill(c) ? Is("runs")
            : piece.File.IsOver ? Is("over")
            : Is("runs", (long)piece.Placed!.TimeAt(at)!.Value.TotalSeconds);
    }

    private string WhyNoTime(ContentPlacement c) =>
        _isLook ? $"starts at {c.StartTimecode}, and a look has no timecode"
        : _capture is { } capture
            ? $"starts at {c.StartTimecode}" + (capture.IsMeasured ? ", which is not in the capture" : "; the capture is still being read through")
        : _heard is { } heard ? $"starts at {c.StartTimecode}, which is no label of {TimecodeRateText.Of(heard.Rate)}"
        : $"starts at {c.StartTimecode}; no timecode is heard";

    private static string On(RigScene rig, ContentPlacement c) =>
        c.Through.Count > 0 ? "thrown by " + Names(rig, c.Through) : (c.Map is { } map ? "by map " + map : "thrown")
        + (c.Fixtures.Count == 0 ? c.Map is null ? " onto all pixels" : ""
            : " onto " + Names(rig, c.Fixtures));

    private static string Names(RigScene rig, IReadOnlyList<FixtureIndex> fixtures) =>
        fixtures.Count <= 3 ? string.Join(", ", fixtures.Select(f => rig.Fixtures[f.Value].Name)) : Counted.Of(fixtures.Count, "fixture");

    private static string ClockText(TimeSpan at) =>
        string.Create(CultureInfo.InvariantCulture, $"{(int)at.TotalMinutes}:{at.Seconds:00}{(at.Milliseconds > 0 ? $".{at.Milliseconds / 100}" : "")}");

    private void Close(ContentPiece[] gone, ContentPiece[] stays)
    {
        var kept = stays.Select(p => p.File).OfType<WishedFrames>().ToHashSet(ReferenceEqualityComparer.Instance);
        foreach (var piece in gone)
        {
            if (piece.File is { } file && !kept.Contains(file))
            {
                file.Dispose();
            }

            if (piece.Input is not null)
            {
                _parts.Inputs!.Leave(piece.Placement.Input!);
            }
        }
    }

    private sealed class Lent(IContentFrames frames) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => frames.FrameAt(sinceStart, repeat);
    }
}
