using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Levels;
using StageView.Wire.Time;

namespace StageView.Live.Shown;

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
    private volatile TimecodeTrack? _track;
    private volatile bool _measured;

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

    /// <summary>Whether the file was read through, so that <see cref="Length"/> is all of it.</summary>
    public bool IsMeasured => _measured;

    /// <summary>s; grows until the file was read through.</summary>
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
        if (_measured && at >= Length)
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
        if (playing && _measured && _position >= Length)
        {
            _position = 0;
        }

        _playing = playing;
        _speed = speed;
        _playingSince = _clock.GetTimestamp();
    }

    public void Seek(double seconds)
    {
        _position = _measured ? Math.Min(seconds, Length) : seconds;
        _playingSince = _clock.GetTimestamp();
    }

    public CaptureState State() => new(System.IO.Path.GetFileName(Path), Length, Math.Round(Position(), 3), _playing, _speed);

    /// <summary>The timecode at the time shown, once the file was read through; null where it has none.</summary>
    public (string Label, string Note)? Timecode() =>
        _track is { Labels: > 0 } track && track.LabelAt(TimeSpan.FromSeconds(Position())) is { } label
            ? (label.ToString(), TimecodeRateText.Of(label.Rate) + ", of the capture")
            : null;

    public void Dispose()
    {
        _stop.Cancel();
        _stop.Dispose();
        _reader.Dispose();
    }

    /// <summary>The length is known once the file was read through; meanwhile it grows. Timecode comes from ArtTimeCode, else from CAPTURE.ltc.wav beside it.</summary>
    private void Measure(string path, CancellationToken stop)
    {
        var track = new TimecodeTrack();
        var end = TimeSpan.Zero;
        try
        {
            foreach (var datagram in CaptureReader.Read(path))
            {
                if (stop.IsCancellationRequested)
                {
                    return;
                }

                end = datagram.At > end ? datagram.At : end;
                Volatile.Write(ref _length, end.TotalSeconds);
                if (ArtTimeCode.TryParse(datagram.Payload.Span, out var timecode, out _))
                {
                    track.Add(new TimecodeAt(end, timecode));
                }
            }
        }
        catch (CaptureException)
        {
            // The part before the damage is the length.
        }

        var sound = System.IO.Path.ChangeExtension(path, ".ltc.wav");
        if (track.Labels == 0 && File.Exists(sound))
        {
            try
            {
                track = TimecodeFile.FromSound(sound);
            }
            catch (Exception e) when (e is CaptureException or IOException or UnauthorizedAccessException)
            {
                // No timecode then; the verb that names one says why.
            }
        }

        _track = track;
        _measured = true;
    }
}
