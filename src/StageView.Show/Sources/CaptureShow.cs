using StageView.Rig.Pieces;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>
/// Levels from a capture file: played from its start, or with <c>seek</c> from some seconds before the first time asked for. Levels are
/// then those of playing it all; what depends on when something began longer ago (the angle of a wheel that turns without end, the
/// phase of a strobe, a move that takes over 15 s) is not.
/// </summary>
public sealed class CaptureShow : ShowSource
{
    private readonly string _path;
    private readonly CaptureReader _reader;
    private readonly UniverseMerger _merger;
    private readonly CapturePlayer _player;
    private readonly CaptureIndex? _index;
    private TimecodeTrack? _track;

    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureShow(RigScene rig, string path, bool seek = false)
        : this(rig, path, seek ? CaptureIndex.Open(path) : null)
    {
    }

    /// <param name="rig">The rig.</param>
    /// <param name="path">The capture.</param>
    /// <param name="index">Its index, or that of a part of it, by which the first time asked for is found; null to play from the start.</param>
    /// <param name="keepHistory">Whether any earlier time can be asked for; memory then grows with all that is fed.</param>
    /// <param name="only">Which datagrams count; all when null.</param>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureShow(RigScene rig, string path, CaptureIndex? index, bool keepHistory = true, Func<CapturedDatagram, bool>? only = null)
        : base(rig, keepHistory)
    {
        _path = path;
        _reader = CaptureReader.Open(path);
        _index = index;
        _merger = new UniverseMerger(rig.Network.ToWireSettings(), Stage);
        _player = new CapturePlayer(_reader, _merger, only);
    }

    public override string? Problem => _reader.Problem;

    public override string? Oddity =>
        string.Join(Environment.NewLine, new[] { _reader.ClockProblem, _reader.LossProblem }.OfType<string>()) is { Length: > 0 } odd ? odd : null;

    /// <inheritdoc/>
    protected override bool IsWholeWithProblem => false;

    public override TimeSpan End()
    {
        if (_index is not null)
        {
            FeedTo(_index.Length);
            return _index.Length;
        }

        _player.PlayToEnd();
        return _player.Position;
    }

    /// <summary>The first time from which on levels are known: 0 when it is played from its start.</summary>
    public TimeSpan From { get; private set; }

    /// <summary>Up to where levels were fed.</summary>
    public TimeSpan FedTo => _player.Position;

    /// <summary>Whether all levels were fed.</summary>
    public bool IsAtEnd => _player.AtEnd;

    public override void FeedTo(TimeSpan time)
    {
        if (_index is not null && _player.Fed == 0)
        {
            From = time;
            _player.SeekTo(_index, time);
        }
        else if (time > _player.Position && !_player.AtEnd)
        {
            _player.PlayTo(time);
        }
    }

    public override IReadOnlyList<IReadOnlyList<AddressSource>> SourcesOf(IReadOnlyList<UniverseAddress> addresses) => _merger.SourcesOf(addresses);

    protected override TimeSpan Cue(string name) => Names.Cue(name);

    protected override TimeSpan Timecode(string text) => Names.Timecode(text);

    /// <summary>Its timecode; read through once for it.</summary>
    internal TimecodeTrack Timecodes() => _track ??= CaptureTrack.Of(_path, _index);

    protected override TimecodeTrack? Track() => Timecodes();

    protected override void Close() => _reader.Dispose();

    private CaptureTimes Names => new(_path, Timecodes);
}
