using StageView.Wire.Datagrams;
using StageView.Wire.Names;

namespace StageView.Wire.Exchange;

/// <summary>The stations of a group and their commits, as they were found and as they say; bounded.</summary>
internal sealed class StationBook(Guid self)
{
    private readonly Lock _gate = new();
    private readonly Dictionary<Guid, StationSeen> _stations = [];
    private readonly List<CommitSeen> _commits = [];
    private readonly HashSet<Guid> _left = [];
    private int _order;

    public IReadOnlyList<StationSeen> Stations
    {
        get
        {
            lock (_gate)
            {
                return [.. _stations.Values.OrderBy(s => s.Name, StringComparer.Ordinal).ThenBy(s => s.Station)];
            }
        }
    }

    /// <summary>In the order that they were heard of.</summary>
    public IReadOnlyList<CommitSeen> Commits
    {
        get
        {
            lock (_gate)
            {
                return [.. _commits];
            }
        }
    }

    /// <summary>Takes the group as it was found: those that are gone go with their commits.</summary>
    /// <returns>The stations that are new, moved, or could not be spoken to before.</returns>
    public IReadOnlyList<StationSeen> Found(IReadOnlyList<ServiceSeen> services)
    {
        lock (_gate)
        {
            var found = new List<StationSeen>();
            var ids = new HashSet<Guid>();
            foreach (var s in services.Take(ExchangeNumbers.MostStations))
            {
                if (!Guid.TryParse(s.Texts.GetValueOrDefault("StationUUID"), out var id) || id == self || !ids.Add(id))
                {
                    continue;
                }

                var name = PlainText.From(s.Texts.GetValueOrDefault("StationName") is { Length: > 0 } said ? said : s.Name, 100);
                var known = _stations.GetValueOrDefault(id);
                if (known is null || !known.Address.Equals(s.Address) || known.Port != s.Port)
                {
                    _stations[id] = known = new StationSeen(id, name, "", s.Address, s.Port, "");
                    _left.Remove(id);
                    found.Add(known);
                }
                else if (known.Trouble.Length > 0 && !_left.Contains(id))
                {
                    found.Add(known);
                }
            }

            foreach (var gone in _stations.Keys.Except(ids).ToList())
            {
                _stations.Remove(gone);
                _left.Remove(gone);
                _commits.RemoveAll(c => c.Line.Station == gone);
            }

            return found;
        }
    }

    /// <summary>A station has said who it is and what it has.</summary>
    /// <returns>The commits that are new.</returns>
    public IReadOnlyList<CommitSeen> Joined(Guid station, ExchangeMessage join)
    {
        lock (_gate)
        {
            if (!_stations.TryGetValue(station, out var known))
            {
                return [];
            }

            _left.Remove(station);
            _stations[station] = known with { Name = join.StationName.Length > 0 ? join.StationName : known.Name, Provider = join.Provider, Trouble = "" };
            return [.. join.Commits.Select(c => Add(c with { Station = station })).OfType<CommitSeen>()];
        }
    }

    /// <returns>The commit where it is new and meant for us, of a station that is known.</returns>
    public CommitSeen? Told(CommitLine line)
    {
        lock (_gate)
        {
            return Add(line);
        }
    }

    public StationSeen? Left(Guid station)
    {
        lock (_gate)
        {
            if (!_stations.TryGetValue(station, out var known))
            {
                return null;
            }

            _left.Add(station);
            _commits.RemoveAll(c => c.Line.Station == station);
            _stations[station] = known with { Trouble = "has left the group" };
            return known;
        }
    }

    public void Troubled(Guid station, string why)
    {
        lock (_gate)
        {
            if (_stations.TryGetValue(station, out var known))
            {
                _stations[station] = known with { Trouble = why };
            }
        }
    }

    /// <summary>The station of an identity, or where a message names none, the only one at its sender's address.</summary>
    public StationSeen? Of(Guid station, System.Net.IPAddress sender)
    {
        lock (_gate)
        {
            if (station != Guid.Empty)
            {
                return _stations.GetValueOrDefault(station);
            }

            var there = _stations.Values.Where(s => s.Address.Equals(sender)).ToList();
            return there.Count == 1 ? there[0] : null;
        }
    }

    private CommitSeen? Add(CommitLine line)
    {
        if (!_stations.TryGetValue(line.Station, out var by) || line.File == Guid.Empty || (line.For.Count > 0 && !line.For.Contains(self))
            || _commits.Exists(c => c.Line.File == line.File && c.Line.Station == line.Station))
        {
            return null;
        }

        var its = _commits.Where(c => c.Line.Station == line.Station).ToList();
        if (its.Count >= ExchangeNumbers.MostCommits)
        {
            _commits.Remove(its[0]);
        }

        var seen = new CommitSeen(line, by.Name, ++_order);
        _commits.Add(seen);
        return seen;
    }
}
