using StageView.Ground.Indices;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Stage;

namespace StageView.Live.Shown;

/// <summary>
/// Levels that are looked at instead of those that come in. Kept by name, so that they stay over a save of the rig file; whoever uses it holds the stage.
/// </summary>
internal sealed class AsIf
{
    /// <summary>More than any fixture group has channels; what a page can ask for is bounded.</summary>
    public const int MostLevels = 8192;

    private const int MostTold = 6;
    private StageModel? _on;

    /// <summary>In the order in which they were set.</summary>
    public IReadOnlyList<AsIfLevel> Levels { get; private set; } = [];

    public AsIfState? State => Levels.Count == 0 ? null
        : new AsIfState(Levels.Count, Levels.Select(l => l.Fixture).Distinct().Count(), [.. Levels.Reverse().Take(MostTold)]);

    /// <summary>Adds levels, each in the place of what was set for its channel before.</summary>
    public void Set(IReadOnlyList<AsIfLevel> levels)
    {
        var channels = levels.Select(l => (l.Fixture, l.Channel)).ToHashSet();
        Levels = [.. Levels.Where(l => !channels.Contains((l.Fixture, l.Channel))), .. levels];
        _on = null;
    }

    /// <summary>Everything follows the levels again.</summary>
    /// <param name="stage">The stage that is shown.</param>
    /// <param name="at">Show time.</param>
    public void End(StageModel stage, TimeSpan at)
    {
        if (Levels.Count > 0)
        {
            Levels = [];
            stage.StandAsIf([], at);
        }

        _on = null;
    }

    /// <summary>Lets a stage stand so, unless it does.</summary>
    public void Hold(StageModel stage, TimeSpan at)
    {
        if (Levels.Count == 0 || ReferenceEquals(_on, stage))
        {
            return;
        }

        stage.StandAsIf([.. Levels.Select(l => Find(stage.Rig, l)).OfType<(FixtureIndex, int, uint)>()], at);
        _on = stage;
    }

    /// <summary>Why a level can't be looked at, or null.</summary>
    public static string? WhyNot(RigScene rig, AsIfLevel level)
    {
        if (RigQuestions.Named(rig, level.Fixture) is not { } fixture)
        {
            return Reply.NoFixture(level.Fixture).Text;
        }

        return fixture.Mode.Channels.FirstOrDefault(c => c.Name == level.Channel) is not { Offsets.Count: > 0 } channel
            ? $"{fixture.Name} has no channel {OneLine.Of(level.Channel)} that a level is sent to"
            : level.Raw < 0 || level.Raw > channel.MaxValue ? $"{channel.Name} of {fixture.Name} goes from 0 to {channel.MaxValue}" : null;
    }

    private static (FixtureIndex Fixture, int Channel, uint Raw)? Find(RigScene rig, AsIfLevel level) =>
        WhyNot(rig, level) is null && RigQuestions.Named(rig, level.Fixture) is { } fixture
            ? (fixture.Index, fixture.Mode.Channels.First(c => c.Name == level.Channel).Index, (uint)level.Raw) : null;
}
