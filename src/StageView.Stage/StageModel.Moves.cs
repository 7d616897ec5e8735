using StageView.Stage.Moves;

namespace StageView.Stage;

public sealed partial class StageModel
{
    /// <summary>Every move of every fixture's pan and tilt in the levels so far, in order of their start.</summary>
    /// <param name="winches">Also those of winches.</param>
    /// <exception cref="InvalidOperationException">The model keeps no history.</exception>
    public IReadOnlyList<FixtureMove> FindMoves(bool winches = false)
    {
        if (!_keepHistory)
        {
            throw new InvalidOperationException("moves are found in the history, and this model keeps none");
        }

        lock (_gate)
        {
            Restart();
            var found = new List<FixtureMove>();
            var trackers = _runs.Select(r => new MoveTracker(r, winches, found)).ToArray();
            foreach (var tracker in trackers)
            {
                tracker.Begin(0);
            }

            while (_applied < _history.Count)
            {
                var (at, universe) = (_history[_applied].At, _history[_applied].Universe);
                foreach (var run in _users[universe])
                {
                    trackers[run.Fixture.Index.Value].AdvanceTo(at);
                }

                Apply();
                foreach (var run in _users[universe])
                {
                    if (run.ChangedAt == at && trackers[run.Fixture.Index.Value].HasAxes)
                    {
                        trackers[run.Fixture.Index.Value].Changed(at);
                    }
                }
            }

            foreach (var tracker in trackers)
            {
                tracker.End(Newest.TotalSeconds);
            }

            found.Sort((a, b) => a.Start != b.Start ? a.Start.CompareTo(b.Start) : a.Fixture.CompareTo(b.Fixture));
            return found;
        }
    }
}
