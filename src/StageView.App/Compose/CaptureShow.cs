using StageView.Rig;
using StageView.Wire;
using StageView.Wire.Capture;

namespace StageView.App.Compose;

/// <summary>Levels from a capture file.</summary>
internal sealed class CaptureShow : LevelSource
{
    private readonly string _path;
    private readonly CaptureReader _reader;
    private readonly CapturePlayer _player;

    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureShow(RigScene rig, string path)
        : base(rig)
    {
        _path = path;
        _reader = CaptureReader.Open(path);
        _player = new CapturePlayer(_reader, new UniverseMerger(rig.Network.ToWireSettings(), Stage));
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

    protected override TimeSpan Cue(string name) => CueTimes.Find(_path, name).Time;

    public override void Dispose()
    {
        _reader.Dispose();
        base.Dispose();
    }
}
