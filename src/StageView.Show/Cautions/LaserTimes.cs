using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Stage;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Show.Cautions;

/// <summary>When each fixture's lasers are on, and where they point meanwhile.</summary>
internal sealed class LaserTimes(RigScene rig)
{
    private readonly SortedDictionary<int, List<LaserTime>> _all = [];

    /// <param name="stage">Whose fixtures.</param>
    /// <param name="time">Show time.</param>
    /// <param name="before">The moment looked at before, s.</param>
    /// <param name="lit">By fixture: power of all its apertures, W, and figures.</param>
    public void Take(StageModel stage, TimeSpan time, double before, IReadOnlyDictionary<int, (double Watts, HashSet<string> Scans)> lit)
    {
        var seconds = time.TotalSeconds;
        foreach (var (fixture, (watts, scans)) in lit)
        {
            var state = stage.StateOf(new FixtureIndex(fixture), time);
            var (pan, tilt) = (Axis(state, AttributeOp.Pan), Axis(state, AttributeOp.Tilt));
            if (!_all.TryGetValue(fixture, out var spells))
            {
                _all[fixture] = spells = [];
            }

            if (spells.Count > 0 && spells[^1] is var last && last.To >= before)
            {
                spells[^1] = last with
                {
                    To = seconds,
                    Watts = Math.Max(last.Watts, watts),
                    Pan = Joined(last.Pan, pan),
                    Tilt = Joined(last.Tilt, tilt),
                    Scans = [.. last.Scans.Union(scans).Order(StringComparer.Ordinal)],
                };
            }
            else
            {
                spells.Add(new LaserTime(rig.Fixtures[fixture].Name, seconds, seconds, watts, Joined(null, pan), Joined(null, tilt),
                    [.. scans.Order(StringComparer.Ordinal)]));
            }
        }
    }

    public IReadOnlyList<LaserTime> Answer() => [.. _all.Values.SelectMany(s => s).OrderBy(s => s.From).ThenBy(s => s.Fixture, StringComparer.Ordinal)];

    private static double? Axis(FixtureState state, AttributeOp op) => state.Attributes.FirstOrDefault(a => a.Op == op)?.Now;

    private static (double From, double To)? Joined((double From, double To)? range, double? value) =>
        value is not { } v ? range : range is { } r ? (Math.Min(r.From, v), Math.Max(r.To, v)) : (v, v);
}
