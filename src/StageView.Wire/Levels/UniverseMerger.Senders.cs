using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Levels;

/// <summary>Who sends E1.31, known by its identifier; bounded in number.</summary>
public sealed partial class UniverseMerger
{
    private const int MostOffered = 1024;
    private TimeSpan _nextForget;

    private Sender? FindOrAddSender(Cid cid)
    {
        if (_senders.TryGetValue(cid, out var sender))
        {
            return sender;
        }

        if (_senders.Count >= _settings.MostSenders && !ForgetSender())
        {
            return null;
        }

        sender = new Sender(cid);
        _senders.Add(cid, sender);
        return sender;
    }

    /// <summary>Universes that senders say they send, at most 1024; changes with <see cref="SyncUse"/>.</summary>
    internal HashSet<int> Offered() => [.. _senders.Values.SelectMany(s => s.Discovered ?? []).Select(u => (int)u).Distinct().Take(MostOffered)];

    // The sender that was silent longest makes room. A flood of living ones must not make each packet a search.
    private bool ForgetSender()
    {
        if (_now < _nextForget)
        {
            return false;
        }

        Sender? oldest = null;
        foreach (var sender in _senders.Values)
        {
            var silent = _now - sender.LastSeen;
            if (silent > (sender.Discovered is null ? E131Numbers.LossTimeout : 2 * E131Numbers.DiscoveryInterval)
                && (oldest is null || sender.LastSeen < oldest.LastSeen))
            {
                oldest = sender;
            }
        }

        if (oldest is null)
        {
            _nextForget = _now + TimeSpan.FromMilliseconds(100);
            return false;
        }

        return _senders.Remove(oldest.Cid);
    }
}
