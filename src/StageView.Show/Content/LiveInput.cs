using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using StageView.Rig.Pieces;
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

    private static readonly TimeSpan Again = TimeSpan.FromSeconds(1);
    private readonly ContentInput _input;
    private readonly TimeProvider _clock;
    private readonly string _program;
    private readonly Lock _gate = new();
    private readonly ManualResetEventSlim _ended = new();
    private readonly ManualResetEventSlim _first = new();
    private readonly AutoResetEvent _came = new(false);
    private readonly Thread _reading;
    private readonly Thread _making;
    private byte[] _newest;
    private byte[] _spare;
    private bool _fresh;
    private ContentImage? _image;
    private long _cameAt;
    private long _frames;
    private long _passed;
    private bool _disposed;
    private int _starts;
    private string _why = "";
    private Process? _reader;

    /// <param name="input">What is read; opened at once.</param>
    /// <param name="clock">Tells when it is lost.</param>
    /// <param name="program">The ffmpeg program.</param>
    public LiveInput(ContentInput input, TimeProvider? clock = null, string program = "ffmpeg")
    {
        ArgumentNullException.ThrowIfNull(input);
        (_input, _clock, _program) = (input, clock ?? TimeProvider.System, program);
        (_newest, _spare) = (new byte[input.Width * input.Height * 3], new byte[input.Width * input.Height * 3]);
        _reading = new Thread(Read) { IsBackground = true, Name = "live input" };
        _making = new Thread(Make) { IsBackground = true, Name = "live input's picture" };
        _reading.Start();
        _making.Start();
    }

    public LiveInputState State
    {
        get
        {
            lock (_gate)
            {
                return new LiveInputState(_frames, _passed, IsLost(), _starts, _why);
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
            _ended.Set();
            End();
        }

        _came.Set();
        _reading.Join();
        _making.Join();
        _came.Dispose();
        _first.Dispose();
        _ended.Dispose();
    }

    private bool IsLost() => _frames == 0 || _clock.GetElapsedTime(_cameAt) > LostAfter;

    private void Read()
    {
        while (!_ended.IsSet)
        {
            try
            {
                using var process = Start();
                var said = process.StandardError.ReadToEndAsync();
                var from = process.StandardOutput.BaseStream;
                while (from.ReadAtLeast(_spare, _spare.Length, throwOnEndOfStream: false) == _spare.Length)
                {
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

                lock (_gate)
                {
                    End();
                }

                var last = said.GetAwaiter().GetResult().Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
                Says(last is [.., var words] ? words : "it ended");
            }
            catch (Win32Exception)
            {
                Says($"{_program} is not installed, and live inputs are read with it: install ffmpeg (Debian: apt-get install ffmpeg)");
            }
            catch (Exception e) when (e is IOException or InvalidOperationException or ObjectDisposedException)
            {
                Says(e.Message);
            }

            _ended.Wait(Again);
        }
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
            if (_ended.IsSet)
            {
                return;
            }

            lock (_gate)
            {
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

    private Process Start()
    {
        List<string> arguments = ["-v", "error", "-nostdin", "-fflags", "nobuffer", "-flags", "low_delay", "-probesize", "65536", "-analyzeduration", "0"];
        if (_input.Format.Length > 0)
        {
            arguments.AddRange(["-f", _input.Format]);
        }
        else
        {
            // A stream may not open files of this machine.
            arguments.AddRange(["-protocol_whitelist", "udp,rtp,rtsp,rtsps,srt,tcp,tls,http,https,crypto"]);
        }

        if (_input.Rate > 0)
        {
            arguments.AddRange(["-framerate", _input.Rate.ToString(CultureInfo.InvariantCulture)]);
        }

        arguments.AddRange(["-i", _input.Address, "-an", "-sn", "-fps_mode", "passthrough", "-vf", $"scale={_input.Width}:{_input.Height}:flags=area",
            "-f", "rawvideo", "-pix_fmt", "rgb24", "-"]);
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_ended.IsSet, this);
            _starts++;
            return _reader = Process.Start(new ProcessStartInfo(_program, arguments)
            {
                UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true,
            }) ?? throw new InvalidOperationException($"{_program} did not start");
        }
    }

    private void End()
    {
        try
        {
            if (_reader is { HasExited: false } reader)
            {
                reader.Kill();
            }
        }
        catch (InvalidOperationException)
        {
            // It was gone already.
        }

        _reader = null;
    }
}
