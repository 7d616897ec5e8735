using StageView.App.Compose;
using StageView.Rig;
using StageView.Stage;
using StageView.Wire;
using StageView.Wire.Capture;

namespace StageView.App.Live;

/// <summary>A capture that is looked at: any time of it, forwards and back.</summary>
internal sealed class CaptureDeck : IDisposable
{
    private readonly TimeProvider _clock;
    private readonly CaptureReader _reader;
    private readonly CapturePlayer _player;
    private readonly CancellationTokenSource _stop = new();
    private double _position;
    private double _speed = 1;
    private long _playingSince;
    private bool _playing;
    private double _length;

    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureDeck(RigScene rig, string path, TimeProvider clock, double position = 0)
    {
        _clock = clock;
        Path = path;
        Stage = new StageModel(rig);
        _reader = CaptureReader.Open(path);
        _player = new CapturePlayer(_reader, new UniverseMerger(rig.Network.ToWireSettings(), Stage));
        _position = position;
        _ = Task.Run(() => Measure(path, _stop.Token));
    }

    public string Path { get; }

    public StageModel Stage { get; }

    public double Length => Volatile.Read(ref _length);

    /// <summary>The time shown now; feeds the stage up to it.</summary>
    public TimeSpan Now()
    {
        var now = TimeSpan.FromSeconds(Position());
        if (now > _player.Position)
        {
            _player.PlayTo(now);
        }

        return now;
    }

    public double Position()
    {
        if (!_playing)
        {
            return _position;
        }

        var at = _position + (_clock.GetElapsedTime(_playingSince).TotalSeconds * _speed);
        if (Length > 0 && at >= Length)
        {
            _position = Length;
            _playing = false;
            return _position;
        }

        return at;
    }

    public void Play(bool playing, double speed)
    {
        _position = Position();
        if (playing && Length > 0 && _position >= Length)
        {
            _position = 0;
        }

        _playing = playing;
        _speed = speed;
        _playingSince = _clock.GetTimestamp();
    }

    public void Seek(double seconds)
    {
        _position = Length > 0 ? Math.Min(seconds, Length) : seconds;
        _playingSince = _clock.GetTimestamp();
    }

    public CaptureState State() => new(System.IO.Path.GetFileName(Path), Length, Math.Round(Position(), 3), _playing, _speed);

    public void Dispose()
    {
        _stop.Cancel();
        _stop.Dispose();
        _reader.Dispose();
    }

    /// <summary>The length is known once the file was read through; meanwhile it grows.</summary>
    private void Measure(string path, CancellationToken stop)
    {
        try
        {
            foreach (var datagram in CaptureReader.Read(path))
            {
                if (stop.IsCancellationRequested)
                {
                    return;
                }

                Volatile.Write(ref _length, datagram.At.TotalSeconds);
            }
        }
        catch (CaptureException)
        {
            // The part before the damage is the length.
        }
    }
}
