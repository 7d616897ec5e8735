using StageView.Wire.ArtNet;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>What happens because nothing happened: sources, priorities and syncs that fall silent.</summary>
public sealed partial class UniverseMerger
{
    private readonly List<Due> _due = [];

    // Nothing falls due before this; it may be early, never late, so most packets compare one number.
    private TimeSpan _nextDue = TimeSpan.MaxValue;

    private enum DueKind
    {
        PriorityWaitEnds,
        PrioritiesLost,
        SourceLost,
        SyncLost,
        ArtSyncLost,
    }

    /// <summary>Lets time pass: what fell due up to <paramref name="now"/> happens in order, each at its own time, whenever this is called.</summary>
    public void Advance(TimeSpan now)
    {
        if (now <= _now)
        {
            return;
        }

        if (now >= _nextDue)
        {
            Collect(now);
            _due.Sort(Due.Order);
            for (var i = 0; i < _due.Count;)
            {
                // What happens at one instant happens before anything is merged: sources that die together don't let each other through.
                var first = i;
                _now = _due[i].At;
                for (; i < _due.Count && _due[i].At == _now; i++)
                {
                    Happen(_due[i]);
                }

                for (var j = first; j < i; j++)
                {
                    if (_due[j].Source is { } source)
                    {
                        Merge(source.Universe);
                    }
                }
            }

            _due.Clear();
        }

        _now = now;
    }

    private static TimeSpan LossTimeout(SourceState source) =>
        source.Protocol == SourceProtocol.E131 ? E131Numbers.LossTimeout : ArtNetNumbers.LossTimeout;

    private void Expect(TimeSpan at)
    {
        if (at < _nextDue)
        {
            _nextDue = at;
        }
    }

    private void Collect(TimeSpan now)
    {
        _nextDue = TimeSpan.MaxValue;
        foreach (var universe in _universes)
        {
            for (var i = 0; i < universe.Sources.Count; i++)
            {
                var source = universe.Sources[i];
                if (!source.Live)
                {
                    continue;
                }

                Note(now, new Due(source.LastSeen + LossTimeout(source), DueKind.SourceLost, universe.Number.Value, i, source, null));
                if (source.WaitsForPriorities)
                {
                    Note(now, new Due(source.WaitStart + PriorityWait, DueKind.PriorityWaitEnds, universe.Number.Value, i, source, null));
                }
                else if (source.HasPriorities)
                {
                    Note(now, new Due(source.LastPriorities + E131Numbers.LossTimeout, DueKind.PrioritiesLost, universe.Number.Value, i, source, null));
                }
            }
        }

        foreach (var group in _syncs.Values)
        {
            if (group.Active)
            {
                Note(now, new Due(group.Last + E131Numbers.LossTimeout, DueKind.SyncLost, group.Address, 0, null, group));
            }
        }

        if (_artSync.Active)
        {
            Note(now, new Due(_artSync.Last + ArtNetNumbers.SyncTimeout, DueKind.ArtSyncLost, 0, 0, null, _artSync));
        }
    }

    private void Note(TimeSpan now, Due due)
    {
        if (due.At <= now)
        {
            _due.Add(due);
        }
        else
        {
            Expect(due.At);
        }
    }

    private void Happen(Due due)
    {
        switch (due.Kind)
        {
            case DueKind.SourceLost:
                End(due.Source!);
                break;
            case DueKind.PriorityWaitEnds when due.Source!.WaitsForPriorities && due.Source.Live:
                due.Source.WaitsForPriorities = false;
                break;
            case DueKind.PrioritiesLost when due.Source!.Live:
                due.Source.HasPriorities = false;
                break;
            case DueKind.SyncLost:
                due.Group!.Active = false;
                due.Group.Lost = true;
                due.Group.ForgetSequences();
                break;
            case DueKind.ArtSyncLost:
                _artSync.Active = false;
                Release(_artSync);
                break;
            default:
                break;
        }
    }

    // Its levels are kept for the record; not live, they no longer count.
    private void End(SourceState source)
    {
        Unhold(source);
        SyncUse++;
        source.Live = false;
        source.Stops++;
    }

    private readonly record struct Due(TimeSpan At, DueKind Kind, int Universe, int Index, SourceState? Source, SyncGroup? Group)
    {
        public static readonly Comparison<Due> Order = static (a, b) =>
        {
            var c = a.At.CompareTo(b.At);
            c = c != 0 ? c : a.Universe.CompareTo(b.Universe);
            c = c != 0 ? c : a.Index.CompareTo(b.Index);
            return c != 0 ? c : a.Kind.CompareTo(b.Kind);
        };
    }
}
