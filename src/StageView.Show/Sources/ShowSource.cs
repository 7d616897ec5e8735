using StageView.Rig.Pieces;
using StageView.Stage;
using StageView.Wire.Clock;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>A rig and where its levels come from: a capture, the network, a look, or nothing.</summary>
/// <param name="rig">The rig.</param>
/// <param name="keepHistory">Whether any earlier time can be asked for; false for a show of any length, of which the newest levels count.</param>
public abstract class ShowSource(RigScene rig, bool keepHistory = true) : IDisposable
{
    private readonly List<string> _notShown = [];

    /// <summary>What the rig does with the levels.</summary>
    public StageModel Stage { get; } = new(rig, keepHistory);

    /// <summary>What is worth telling of how the source was opened, a text each.</summary>
    public List<string> Notes { get; } = [];

    /// <summary>What was wrong with the source so far, or null.</summary>
    public virtual string? Problem => null;

    /// <summary>What was odd about the source so far, and how it was taken; or null.</summary>
    public virtual string? Oddity => null;

    /// <summary>All that makes an answer from this source no clean one: what was wrong, what was odd, what a bound left out.</summary>
    public IReadOnlyList<string> Doubts => [.. new[] { Problem, Oddity, Stage.LeftOut }.OfType<string>(), .. _notShown];

    /// <summary>Tells what was wrong with the source so far.</summary>
    /// <param name="tell">What is worth knowing, a text each.</param>
    /// <param name="doubt">What makes an answer one of a part only: a capture that is cut; when left out, it is told like the rest.</param>
    public void TellProblems(Action<string>? tell, Action<string>? doubt)
    {
        foreach (var what in new[] { Problem, Oddity }.OfType<string>())
        {
            (IsWholeWithProblem ? tell : doubt ?? tell)?.Invoke(what);
        }

        _notShown.ForEach(what => (doubt ?? tell)?.Invoke(what));
    }

    /// <summary>Whether what was wrong left nothing out of what is asked of the source.</summary>
    protected virtual bool IsWholeWithProblem => true;

    /// <summary>Who says what of an address, as far as levels were fed; empty for a source that isn't the network's.</summary>
    public IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address) => SourcesOf([address])[0];

    /// <summary>The same of many addresses, in their order.</summary>
    public virtual IReadOnlyList<IReadOnlyList<AddressSource>> SourcesOf(IReadOnlyList<UniverseAddress> addresses) =>
        [.. addresses.Select(_ => (IReadOnlyList<AddressSource>)[])];

    /// <summary>The last time it has levels for; feeds all of it when need be.</summary>
    public abstract TimeSpan End();

    /// <summary>Brings the stage's levels up to a time.</summary>
    public virtual void FeedTo(TimeSpan time)
    {
    }

    /// <summary>The times asked for, each with what to call it; the end when none was named.</summary>
    public IReadOnlyList<(TimeSpan Time, string Label)> Times(IReadOnlyList<string> asked) =>
        asked.Count == 0 ? [(End(), "end")] : [.. asked.Select(text => (Resolve(text), text))];

    /// <summary>Closes what it reads from, content over pixel surfaces as well.</summary>
    public void Dispose()
    {
        Close();
        foreach (var content in Stage.Content)
        {
            content.Dispose();
        }

        GC.SuppressFinalize(this);
    }

    /// <summary>Closes what levels come from.</summary>
    protected virtual void Close()
    {
    }

    /// <summary>Where a named cue lies; sources without cues refuse.</summary>
    protected virtual TimeSpan Cue(string name) =>
        throw StopException.Wrong($"cue:{name} needs a capture with a cue file beside it");

    protected virtual TimeSpan Timecode(string text) =>
        throw StopException.Wrong($"tc:{text} needs a capture with timecode in it");

    /// <summary>The timecode of the source; null where it has none.</summary>
    protected virtual TimecodeTrack? Track() => null;

    /// <summary>When content starts that names a timecode; null, and a doubt, for a source that has none or not this one.</summary>
    internal TimeSpan? StartOf(ContentPlacement content)
    {
        try
        {
            return Timecode(content.StartTimecode!);
        }
        catch (StopException e)
        {
            _notShown.Add($"content that starts at tc:{content.StartTimecode} is not shown: {e.Message}");
            return null;
        }
    }

    /// <summary>The timecode that content follows; null, and a doubt, for a source that has none, or none of the rate that its start is a label of.</summary>
    internal TimecodeTrack? TrackOf(ContentPlacement content)
    {
        var track = Track();
        var why = track?.Latest is not { } latest ? "it needs a capture with timecode in it"
            : !Wire.Clock.Timecode.TryParse(content.StartTimecode, latest.Timecode.Rate, out _)
            ? $"its start is no label of {TimecodeRateText.Of(latest.Timecode.Rate)}" : null;
        if (why is not null)
        {
            _notShown.Add($"content \"{content.Name}\" follows timecode and is not shown: {why}");
        }

        return track;
    }

    /// <summary>Adds to what makes an answer no clean one.</summary>
    internal void AddDoubts(IEnumerable<string> doubts) => _notShown.AddRange(doubts);

    private TimeSpan Resolve(string text) => ShowTime.Parse(text) switch
    {
        ShowTime.Clock clock => clock.At,
        ShowTime.Cue cue => Cue(cue.Name),
        ShowTime.Timecode tc => Timecode(tc.Text),
        _ => throw new InvalidOperationException(),
    };
}
