using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage.State;

namespace StageView.Show.Questions;

/// <summary>What one fixture is sent, what it does with it, and who drives each of its channels.</summary>
/// <param name="Pixels">Its pixels in the order of the wire, those that are sent the same together.</param>
public sealed record FixtureLevels(Fixture Fixture, FixtureState State, IReadOnlyList<ChannelDrive> Drives, IReadOnlyList<PixelRun> Pixels);

/// <summary>Levels of fixtures as DMX has them.</summary>
public static class LevelsQuestion
{
    /// <summary>The levels of fixtures at a time of a source.</summary>
    /// <param name="source">Where levels come from; it is fed up to the time.</param>
    /// <param name="at">Show time; the source's end unless given.</param>
    public static IReadOnlyList<FixtureLevels> Answer(ShowSource source, IReadOnlyList<Fixture> fixtures, TimeSpan? at = null)
    {
        var time = at ?? source.End();
        source.FeedTo(time);
        return [.. fixtures.Select(f =>
        {
            var state = source.Stage.StateOf(f.Index, time);
            return new FixtureLevels(f, state, DriveQuestion.Of(state.Attributes, source.SourcesOf), source.Stage.PixelRunsOf(f.Index, time));
        })];
    }

    /// <summary>A channel's bytes, 0 to 255 each, most significant first; empty for a virtual channel.</summary>
    public static IReadOnlyList<int> Bytes(AttributeState channel) =>
        [.. Enumerable.Range(0, channel.Addresses.Count).Select(i => (int)(channel.Raw >> (8 * (channel.Addresses.Count - 1 - i))) & 255)];
}
