using StageView.Rig;
using StageView.Wire;
using StageView.Wire.Capture;
using StageView.Wire.Health;
using StageView.Wire.Time;

namespace StageView.App.Compose;

/// <summary>Levels from a capture file.</summary>
internal sealed class CaptureShow : LevelSource
{
    private readonly string _path;
    private readonly CaptureReader _reader;
    private readonly UniverseMerger _merger;
    private readonly CapturePlayer _player;

    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureShow(RigScene rig, string path)
        : base(rig)
    {
        _path = path;
        _reader = CaptureReader.Open(path);
        _merger = new UniverseMerger(rig.Network.ToWireSettings(), Stage);
        _player = new CapturePlayer(_reader, _merger);
    }

    public override string? Problem => _reader.Problem;

    public override TimeSpan End()
    {
        _player.PlayToEnd();
        return _player.Position;
    }

    public override void FeedTo(TimeSpan time)
    {
        if (time > _player.Position && !_player.AtEnd)
        {
            _player.PlayTo(time);
        }
    }

    public override IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address) => _merger.SourcesOf(address);

    protected override TimeSpan Cue(string name) => CueTimes.Find(_path, name).Time;

    // ArtTimeCode of the capture itself, else linear timecode recorded beside it as CAPTURE.ltc.wav from the same instant.
    protected override TimeSpan Timecode(string text)
    {
        var sound = Path.ChangeExtension(_path, ".ltc.wav");
        var track = TimecodeFile.FromCapture(_path);
        if (track.Labels == 0 && File.Exists(sound))
        {
            track = TimecodeFile.FromSound(sound);
        }

        return track.TryFind(text, out var at)
            ? at
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
