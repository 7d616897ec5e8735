using System.Globalization;
using StageView.Ground.Systems;
using StageView.Rig.Pieces;
using StageView.Show.Programs;
using StageView.Stage.Content;

namespace StageView.Show.Content;

/// <summary>How a live input stands.</summary>
/// <param name="Frames">Pictures that came.</param>
/// <param name="Passed">Pictures that a newer one overtook before anybody looked.</param>
/// <param name="IsLost">Whether none came for <see cref="LiveInput.LostAfter"/>, or none ever did.</param>
/// <param name="Starts">How often its reader was started.</param>
/// <param name="Why">What the reader said last when it ended, or nothing.</param>
public sealed record LiveInputState(long Frames, long Passed, bool IsLost, int Starts, string Why);

/// <summary>
/// A picture that comes in live, read through ffmpeg: a capture card or camera, a screen, a stream. The newest picture wins and none waits, so what is seen is
/// never later than one picture and its way. Lost after some seconds without one: then there is no content, and the reader is started anew until it comes back.
/// </summary>
public sealed class LiveInput : IContentFrames, IDisposable
{
    /// <summary>Without a picture for so long it is lost.</summary>
    public static readonly TimeSpan LostAfter = TimeSpan.FromSeconds(2);

    private readonly ContentInput _input;
    private readonly TimeProvider _clock;
    private readonly Lock _gate = new();
    private readonly ManualResetEventSlim _first = new();
    private readonly AutoResetEvent _came = new(false);
    private readonly ProgramReader _reading;
    private readonly Thread _making;
    private byte[] _newest;
    private byte[] _spare;
    private bool _fresh;
    private ContentImage? _image;
    private long _cameAt;
    private long _frames;
    private long _passed;
    private bool _disposed;
    private string _why = "";

    /// <param name="input">What is read; opened at once.</param>
    /// <param name="clock">Tells when it is lost.</param>
    /// <param name="program">The ffmpeg program.</param>
    public LiveInput(ContentInput input, TimeProvider? clock = null, string program = "ffmpeg")
    {
        ArgumentNullException.ThrowIfNull(input);
        (_input, _clock) = (input, clock ?? TimeProvider.System);
        (_newest, _spare) = (new byte[input.Width * input.Height * 3], new byte[input.Width * input.Height * 3]);
        _making = new Thread(Make) { IsBackground = true, Name = "live input's picture" };
        _making.Start();
        _reading = new ProgramReader(
            new ReadProgram
            {
                Name = program, Arguments = Arguments(input),
                Missing = $"{program} is not installed, and live inputs are read with it: {OutsideProgram.Install("ffmpeg")}",
            },
            Read, Says);
    }

    public LiveInputState State
    {
        get
        {
            lock (_gate)
            {
                return new LiveInputState(_frames, _passed, IsLost(), _reading.Starts, _why);
            }
        }
    }

    /// <summary>The newest picture, whatever time is asked for; null while it is lost. Never waits.</summary>
    public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat)
    {
        lock (_gate)
        {
            return IsLost() ? null : _image;
        }
    }

    /// <summary>Waits for the first picture.</summary>
    /// <param name="patience">How long at most.</param>
    /// <returns>Whether it came.</returns>
    public bool Await(TimeSpan patience) => _first.Wait(patience);

    public void Dispose()
    {
        lock (_gate)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
        }

        _reading.Dispose();
        _came.Set();
        _making.Join();
        _came.Dispose();
        _first.Dispose();
    }

    private bool IsLost() => _frames == 0 || _clock.GetElapsedTime(_cameAt) > LostAfter;

    private bool Read(Stream from)
    {
        var came = false;
        while (from.ReadAtLeast(_spare, _spare.Length, throwOnEndOfStream: false) == _spare.Length)
        {
            came = true;
            lock (_gate)
            {
                (_newest, _spare) = (_spare, _newest);
                _passed += _fresh ? 1 : 0;
                _fresh = true;
                _frames++;
                _cameAt = _clock.GetTimestamp();
            }

            _came.Set();
        }

        return came;
    }

    private void Says(string why)
    {
        lock (_gate)
        {
            _why = why;
        }
    }

    /// <summary>Turns the newest bytes into a picture, beside the reading: what comes meanwhile takes their place.</summary>
    private void Make()
    {
        var mine = new byte[_input.Width * _input.Height * 3];
        while (true)
        {
            _came.WaitOne();
            lock (_gate)
            {
                if (_disposed)
                {
                    return;
                }

                _newest.CopyTo(mine, 0);
                _fresh = false;
            }

            var image = ContentImage.FromSrgb(_input.Width, _input.Height, mine);
            lock (_gate)
            {
                _image = image;
            }

            _first.Set();
        }
    }

    private static List<string> Arguments(ContentInput input)
    {
        List<string> arguments = ["-v", "error", "-nostdin", "-fflags", "nobuffer", "-flags", "low_delay", "-probesize", "65536", "-analyzeduration", "0"];
        if (input.Format.Length > 0)
        {
            arguments.AddRange(["-f", input.Format]);
        }
        else
        {
            arguments.AddRange(["-protocol_whitelist", ReadProgram.StreamProtocols]);
        }

        if (input.Rate > 0)
        {
            arguments.AddRange(["-framerate", input.Rate.ToString(CultureInfo.InvariantCulture)]);
        }

        arguments.AddRange(["-i", input.Address, "-an", "-sn", "-fps_mode", "passthrough", "-vf", $"scale={input.Width}:{input.Height}:flags=area",
            "-f", "rawvideo", "-pix_fmt", "rgb24", "-"]);
        return arguments;
    }
}
