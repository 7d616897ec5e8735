using StageView.Ground.Indices;

namespace StageView.Stage;

public sealed partial class StageModel
{
    /// <summary>
    /// Lets channels stand at values whatever the levels say, at every time that is asked for, until it is called again: for looking, never for a show's own
    /// frames. Heads and wheels are there at once, and back at once.
    /// </summary>
    /// <param name="values">All of them, raw in their channel's resolution; those of before are forgotten. Channels by their place in the mode.</param>
    /// <param name="at">Show time now.</param>
    public void StandAsIf(IReadOnlyList<(FixtureIndex Fixture, int Channel, uint Raw)> values, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(values);
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            var wanted = values.ToLookup(v => v.Fixture.Value);
            foreach (var run in _runs)
            {
                var (before, mine) = (run.AsIf, wanted[run.Fixture.Index.Value]);
                var after = mine.Any() ? mine.GroupBy(v => v.Channel).ToDictionary(v => v.Key, v => v.Last().Raw) : null;
                if (before is null ? after is not null : after is null || after.Count != before.Count || after.Except(before).Any())
                {
                    run.StandAsIf(after, _levels, at.TotalSeconds);
                }
            }

            // What was put aside was so without them.
            _memories.Clear();
        }
    }
}
