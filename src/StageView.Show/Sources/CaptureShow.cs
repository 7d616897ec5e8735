using StageView.Rig.Pieces;
using StageView.Wire.Capture;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Time;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>
/// Levels from a capture file: played from its start, or with <c>seek</c> from some seconds before the first time asked for. Levels are
/// then those of playing it all; what depends on when something began longer ago (the angle of a wheel that turns without end, the
/// phase of a strobe, a move that takes over 15 s) is not.
/// </summary>
internal sealed class CaptureShow : ShowSource
{
    private readonly string _path;
    private readonly CaptureReader _reader;
    private readonly UniverseMerger _merger;
    private readonly CapturePlayer _player;
    private readonly CaptureIndex? _index;

    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureShow(RigScene rig, string path, bool seek = false)
        : base(rig)
    {
        _path = path;
        _reader = CaptureReader.Open(path);
        _index = seek ? CaptureIndex.Open(path) : null;
        _merger = new UniverseMerger(rig.Network.ToWireSettings(), Stage);
        _player = new CapturePlayer(_reader, _merger);
    }

    public override string? Problem => _reader.Problem;

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

    public override void FeedTo(TimeSpan time)
    {
        if (_index is not null && _player.Fed == 0)
        {
            _player.SeekTo(_index, time);
        }
        else if (time > _player.Position && !_player.AtEnd)
        {
            _player.PlayTo(time);
        }
    }

    public override IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address) => _merger.SourcesOf(address);

    protected override TimeSpan Cue(string name) => CueTimes.Find(_path, name).Time;

    // ArtTimeCode of the capture itself, else linear timecode recorded beside it as CAPTURE.ltc.wav from the same instant. A label names a frame, which
    // is a span: its middle is taken, when the levels that a console sends with the label have arrived and the shutter has been open to them.
    protected override TimeSpan Timecode(string text)
    {
        var sound = Path.ChangeExtension(_path, ".ltc.wav");
        var track = _index?.Timecode ?? TimecodeFile.FromCapture(_path);
        if (track.Labels == 0 && File.Exists(sound))
        {
            track = TimecodeFile.FromSound(sound);
        }

        return track.TryFind(text, out var at, out var lasts)
            ? at + (lasts / 2)
            : throw StopException.Wrong(track.Labels == 0
                ? $"tc:{text}: {_path} has no ArtTimeCode, and there is no {sound} with linear timecode beside it"
                : $"tc:{text} isn't in {_path}; it has {track.Covered()}");
    }

    public override void Dispose()
    {
        _reader.Dispose();
        base.Dispose();
    }
}
