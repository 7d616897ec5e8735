using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage.State;

namespace StageView.Show.Questions;

/// <summary>What one fixture is sent, and what it does with it.</summary>
/// <param name="Pixels">Its pixels in the order of the wire, those that are sent the same together.</param>
public sealed record FixtureLevels(Fixture Fixture, FixtureState State, IReadOnlyList<PixelRun> Pixels);

/// <summary>Levels of fixtures as DMX has them.</summary>
public static class LevelsQuestion
{
    /// <summary>The levels of fixtures at the end of a source.</summary>
    public static IReadOnlyList<FixtureLevels> Answer(ShowSource source, IReadOnlyList<Fixture> fixtures)
    {
        var at = source.End();
        return [.. fixtures.Select(f => new FixtureLevels(f, source.Stage.StateOf(f.Index, at), source.Stage.PixelRunsOf(f.Index, at)))];
    }

    /// <summary>A channel's bytes, 0 to 255 each, most significant first; empty for a virtual channel.</summary>
    public static IReadOnlyList<int> Bytes(AttributeState channel) =>
        [.. Enumerable.Range(0, channel.Addresses.Count).Select(i => (int)(channel.Raw >> (8 * (channel.Addresses.Count - 1 - i))) & 255)];
}
