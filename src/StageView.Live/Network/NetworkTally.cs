using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Live.Network;

/// <summary>
/// Counts who sends which universe, for the page and the journal; the wire room's own findings stand beside it. Bounded: beyond <see cref="MostLines"/> pairs of
/// universe and source the rest is counted together.
/// </summary>
internal sealed class NetworkTally(TimeProvider clock, NightJournal journal, int ownUniverse = 0) : IDatagramTap
{
    private const int MostLines = 4096;
    private static readonly TimeSpan Lost = TimeSpan.FromSeconds(2.5);

    /// <summary>A source that has been gone for so long makes room for new ones.</summary>
    private static readonly TimeSpan Forgotten = TimeSpan.FromMinutes(10);

    private readonly Lock _gate = new();
    private readonly Dictionary<(ushort Universe, ulong A, ulong B), Line> _lines = [];
    private ArtNetMapping _mapping = ArtNetMapping.Default;
    private long _packets;
    private long _ratedPackets;
    private long _ratedAt;
    private double _rate;
    private bool _full;

    public void Follow(ArtNetMapping mapping)
    {
        lock (_gate)
        {
            _mapping = mapping;
        }
    }

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        lock (_gate)
        {
            _packets++;
            if (payload.Length > 0 && payload[0] == (byte)'A')
            {
                if (ArtNetParser.OpCode(payload) == ArtOpCode.Dmx && ArtNetParser.TryParse(payload, out ArtDmxPacket dmx, out _) && _mapping.TryMap(dmx.PortAddress, out var mapped))
                {
                    Count((mapped.Value, from.High, from.Low), from, "Art-Net", default, 100, false);
                }
            }
            else if (E131Parser.Kind(payload) == E131PacketKind.Data && E131Parser.TryParse(payload, out E131DataPacket data, out _) && data.StartCode == 0)
            {
                Count((data.Universe.Value, data.Cid.High, data.Cid.Low), from, "sACN", data.SourceName, data.Priority, data.Terminated);
            }
        }
    }

    /// <summary>What is heard as of now; says in the journal what came and went since the last call.</summary>
    /// <param name="patched">Fixtures patched into each universe.</param>
    public (double PacketsPerSecond, List<UniverseLine> Universes, List<FindingLine> Findings) Read(IReadOnlyDictionary<int, int> patched)
    {
        lock (_gate)
        {
            var now = clock.GetTimestamp();
            var span = _ratedAt == 0 ? TimeSpan.Zero : clock.GetElapsedTime(_ratedAt, now);
            if (_ratedAt == 0 || span >= TimeSpan.FromSeconds(1))
            {
                _rate = span > TimeSpan.Zero ? (_packets - _ratedPackets) / span.TotalSeconds : 0;
                _ratedPackets = _packets;
                _ratedAt = now;
                foreach (var line in _lines.Values)
                {
                    line.Rate = span > TimeSpan.Zero ? (line.Packets - line.RatedPackets) / span.TotalSeconds : 0;
                    line.RatedPackets = line.Packets;
                }
            }

            Forget(now);
            TellChanges(now);
            var universes = new List<UniverseLine>();
            var findings = new List<FindingLine>();
            foreach (var group in _lines.Values.GroupBy(l => (int)l.Universe).Concat(patched.Keys.Select(u => (IGrouping<int, Line>)new None(u))).GroupBy(g => g.Key).OrderBy(g => g.Key))
            {
                Describe(group.Key, [.. group.SelectMany(g => g)], patched.GetValueOrDefault(group.Key), universes);
            }

            Silent(universes, findings);
            if (_full)
            {
                findings.Add(new FindingLine("warning", null, $"more than {MostLines} pairs of universe and source are heard; the rest is used but not listed"));
            }

            return (_rate, universes, findings);
        }
    }

    /// <summary>One line for all that is patched and silent: on a quiet network it is every universe.</summary>
    private static void Silent(List<UniverseLine> universes, List<FindingLine> findings)
    {
        var silent = universes.Where(u => u.State == "silent").ToList();
        if (silent.Count > 0)
        {
            findings.Insert(0, new FindingLine("warning", silent.Count == 1 ? silent[0].Universe : null,
                $"{(silent.Count == 1 ? "universe" : "universes")} {Runs([.. silent.Select(u => u.Universe)])} {(silent.Count == 1 ? "is" : "are")} patched ({silent.Sum(u => u.Fixtures)} fixtures), and nothing sends {(silent.Count == 1 ? "it" : "them")}"));
        }
    }

    /// <summary><c>1 to 4, 7, 9 to 12</c>.</summary>
    internal static string Runs(List<int> rising)
    {
        var runs = new List<string>();
        for (var i = 0; i < rising.Count;)
        {
            var j = i;
            while (j + 1 < rising.Count && rising[j + 1] == rising[j] + 1)
            {
                j++;
            }

            runs.Add(j == i ? $"{rising[i]}" : j == i + 1 ? $"{rising[i]}, {rising[j]}" : $"{rising[i]} to {rising[j]}");
            i = j + 1;
        }

        return string.Join(", ", runs);
    }

    private void Forget(long now)
    {
        if (_lines.Count < MostLines * 3 / 4)
        {
            return;
        }

        foreach (var (key, _) in _lines.Where(l => clock.GetElapsedTime(l.Value.SeenAt, now) > Forgotten).ToList())
        {
            _lines.Remove(key);
        }

        _full = _lines.Count >= MostLines;
    }

    /// <summary>Who began and who stopped since the last look, one line of the journal for all universes of a sender.</summary>
    private void TellChanges(long now)
    {
        var changed = new List<(Line Line, string What)>();
        foreach (var line in _lines.Values)
        {
            var alive = !line.Ended && clock.GetElapsedTime(line.SeenAt, now) < Lost;
            if (alive != line.Alive)
            {
                line.Alive = alive;
                changed.Add((line, alive ? "sends" : line.Ended ? "ended its stream" : "stopped sending"));
            }
        }

        foreach (var group in changed.GroupBy(c => (c.Line.Name, c.Line.Host, c.What)))
        {
            var universes = group.Select(c => (int)c.Line.Universe).Distinct().Order().ToList();
            var who = group.Key.Name == group.Key.Host ? group.Key.Host : $"{group.Key.Name} at {group.Key.Host}";
            journal.Say("network", $"{(universes.Count == 1 ? "universe" : "universes")} {Runs(universes)}: {who} {group.Key.What}");
        }
    }

    private static void Describe(int universe, List<Line> lines, int fixtures, List<UniverseLine> universes)
    {
        var live = lines.Where(l => l.Alive).ToList();
        var top = live.Count == 0 ? 0 : live.Max(l => l.Priority);
        var state = live.Count > 0 ? (fixtures > 0 ? "heard" : "unpatched") : lines.Count > 0 ? "lost" : "silent";
        universes.Add(new UniverseLine(universe, state, live.Sum(l => l.Rate), fixtures,
            [.. lines.OrderByDescending(l => l.Priority).Select(l => new SourceLine(l.Name, l.From, l.Protocol, l.Priority, l.Rate, l.Alive ? "sending" : l.Ended ? "ended" : "lost", l.Alive && l.Priority == top))]));
    }

    private void Count((ushort Universe, ulong A, ulong B) key, SourceAddress from, string protocol, ReadOnlySpan<byte> name, byte priority, bool ended)
    {
        // The marker's universe is our own sending.
        if (key.Universe == ownUniverse)
        {
            return;
        }

        if (!_lines.TryGetValue(key, out var line))
        {
            if (_lines.Count >= MostLines)
            {
                _full = true;
                return;
            }

            line = new Line { Universe = key.Universe, Protocol = protocol };
            _lines[key] = line;
        }

        if (line.Source != from)
        {
            // A sender that was started anew keeps its CID and comes from another port.
            line.Source = from;
            line.From = from.ToString();
            line.Host = line.From[..line.From.LastIndexOf(':')];
            line.Name = name.IsEmpty ? line.Host : PlainText.From(name);
        }

        line.Packets++;
        line.Priority = priority;
        line.Ended = ended;
        line.SeenAt = clock.GetTimestamp();
    }

    private sealed class Line
    {
        public required ushort Universe { get; init; }

        public required string Protocol { get; init; }

        public SourceAddress Source { get; set; }

        public string From { get; set; } = "";

        public string Host { get; set; } = "";

        public string Name { get; set; } = "";

        public byte Priority { get; set; }

        public bool Ended { get; set; }

        public bool Alive { get; set; }

        public long Packets { get; set; }

        public long RatedPackets { get; set; }

        public double Rate { get; set; }

        public long SeenAt { get; set; }
    }

    private sealed class None(int universe) : IGrouping<int, Line>
    {
        public int Key => universe;

        public IEnumerator<Line> GetEnumerator() => Enumerable.Empty<Line>().GetEnumerator();

        System.Collections.IEnumerator System.Collections.IEnumerable.GetEnumerator() => GetEnumerator();
    }
}
