using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Health;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Time;

namespace StageView.Show.Recordings;

/// <summary>
/// Asks of a recording what <see cref="NetworkWatch"/> asks of the network: it is looked at twice a second of its own time, and what was found is told
/// with its times. One pass, in memory that doesn't grow with the recording's length.
/// </summary>
public sealed class RecordingWatch
{
    /// <summary>Spells that are kept of one finding or source.</summary>
    public const int MostSpells = 200;

    /// <summary>Time between looks, s.</summary>
    private const double Step = 0.5;

    /// <summary>What is counted (losses, damaged packets) is told of so many seconds, s.</summary>
    private const double Lately = 2;

    private readonly string _path;
    private readonly RigScene _rig;
    private readonly UniverseMerger _merger;
    private readonly HealthWatch _lately;
    private readonly HealthWatch _whole;
    private readonly TimecodeTap _heard;
    private readonly TimecodeTrack _labels;
    private readonly SpellBook<string, Finding> _findings = new();
    private readonly SpellBook<(int Universe, string Id), SourceHealth> _live = new();
    private readonly SpellBook<(int Universe, string Id), SourceHealth> _wins = new();
    private readonly Dictionary<(int Universe, string Id), PacketRates> _rates = [];

    /// <param name="rig">Whose patch and network settings.</param>
    /// <param name="path">The capture.</param>
    /// <param name="freewheel">How long timecode runs on by itself when none comes.</param>
    public RecordingWatch(RigScene rig, string path, TimeSpan freewheel)
    {
        ArgumentNullException.ThrowIfNull(rig);
        (_rig, _path) = (rig, path);
        _merger = new UniverseMerger(rig.Network.ToWireSettings(), null);
        var patch = Patches.Of(rig);
        (_lately, _whole) = (new HealthWatch(patch, Lately), new HealthWatch(patch));
        (_heard, _labels) = (new TimecodeTap(freewheel), new TimecodeTrack(freewheel));
    }

    /// <summary>Reads the recording through.</summary>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public RecordingAnswer Ask(CancellationToken stop = default)
    {
        using var reader = CaptureReader.Open(_path);
        var (next, last) = (Step, TimeSpan.Zero);
        while (reader.TryRead(out var datagram))
        {
            stop.ThrowIfCancellationRequested();
            while (datagram.At.TotalSeconds > next)
            {
                Look(TimeSpan.FromSeconds(next));
                next += Step;
            }

            last = datagram.At;
            var payload = datagram.Payload.Span;
            _heard.OnDatagram(last, datagram.From, datagram.To, payload);
            if (payload.Length >= ArtTimeCode.Length && payload[0] == (byte)'A' && ArtTimeCode.TryParse(payload, out var timecode, out _))
            {
                _labels.Add(new TimecodeAt(last, timecode));
            }

            _merger.Receive(last, datagram.From, payload);
        }

        Look(last);
        var health = _whole.Look(_merger);
        var problems = new[] { reader.Problem, reader.ClockProblem, reader.LossProblem }.OfType<string>().ToList();
        return new RecordingAnswer(Path.GetFileName(_path), _rig.Name, reader.FirstRecordAt, last.TotalSeconds,
            new NetworkLook(health, _heard.Read(last), _whole.Findings(health)), Findings(), Sources(), [.. _labels.Events], reader.Skipped, problems);
    }

    private void Look(TimeSpan at)
    {
        _merger.Advance(at);
        _labels.Advance(at);
        var health = _lately.Look(_merger);
        var seconds = at.TotalSeconds;
        foreach (var f in _lately.Findings(health))
        {
            // Its times are told beside it.
            _findings.Add(Key(f), seconds, f.Kind == FindingKind.LevelsStill ? f : f with { Seconds = null }, More);
        }

        foreach (var universe in health.Universes)
        {
            foreach (var s in universe.Sources)
            {
                var key = (universe.Universe, s.Id);
                if (s.Standing == SourceStanding.Live)
                {
                    _live.Add(key, seconds, s, static (_, now) => now);
                    if (s.Share.Wins > 0)
                    {
                        _wins.Add(key, seconds, s, static (_, now) => now);
                    }
                }

                if (!_rates.TryGetValue(key, out var rates))
                {
                    _rates.Add(key, rates = new PacketRates());
                }

                rates.Add(seconds, s);
            }
        }
    }

    private static string Key(Finding f) =>
        string.Create(CultureInfo.InvariantCulture, $"{f.Kind}|{f.Stands}|{f.Universe}|")
        + string.Join('\n', f.Kind is FindingKind.SourceStopped or FindingKind.Malformed or FindingKind.Doubled or FindingKind.PriorityFlaps ? f.Sources : []);

    /// <summary>Of two tellings of one finding the one with the larger count, else the later.</summary>
    private static Finding More(Finding known, Finding now) => known.Count > now.Count ? known : now;

    /// <summary>What differs by universe alone and was so at the same times is one finding.</summary>
    private List<HeardFinding> Findings() =>
    [
        .. _findings.All.GroupBy(f => string.Join(' ', f.Spells)).SelectMany(same =>
        {
            var (_, _, spells, count, seconds) = same.First();
            return FindingGroups.Of([.. same.Select(f => f.What)]).Select(f => new HeardFinding(f, Labelled(spells), count, seconds));
        }).OrderByDescending(f => f.Finding.Stands).ThenBy(f => f.Times[0].From).ThenBy(f => f.Finding.Universes is [var first, ..] ? first : 0),
    ];

    private List<HeardSource> Sources() =>
    [
        .. _live.All.Select(l => new HeardSource(l.Key.Universe, l.What.Label, l.What.Packets, l.What.Missing, _rates[l.Key].Slowest, _rates[l.Key].Fastest,
            Labelled(l.Spells), Labelled(_wins.Of(l.Key)))).OrderBy(s => s.Universe).ThenBy(s => s.Times[0].From),
    ];

    private List<HeardSpell> Labelled(IReadOnlyList<(double From, double To)> spells) =>
        [.. spells.Select(s => new HeardSpell(s.From, s.To, _labels.LabelAt(TimeSpan.FromSeconds(s.From))?.ToString()))];
}
