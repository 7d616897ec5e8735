using System.ComponentModel;
using System.Diagnostics;
using StageView.Ground.Systems;

namespace StageView.Show.Programs;

/// <summary>What a program does that is read for as long as it is wanted.</summary>
public sealed record ReadProgram
{
    /// <summary>What ffmpeg may open for a stream: nothing of this machine's files.</summary>
    internal const string StreamProtocols = "udp,rtp,rtsp,rtsps,srt,tcp,tls,http,https,crypto";

    /// <summary>Its name, or a path.</summary>
    public required string Name { get; init; }

    public required IReadOnlyList<string> Arguments { get; init; }

    /// <summary>What is said where it isn't installed.</summary>
    public required string Missing { get; init; }

    /// <summary>The longest pause before it is started again, s. The first is 1 s, each further one twice as long until something comes.</summary>
    public double LongestPause { get; init; } = 1;
}

/// <summary>
/// Reads what a program writes, on a thread of its own; one that ends or cannot be started is started again after a pause, until this is disposed of.
/// A program that is left behind because this process was killed ends when it writes next: nobody reads it.
/// </summary>
public sealed class ProgramReader : IDisposable
{
    private static readonly TimeSpan PatienceWithWords = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan PatienceAtTheEnd = TimeSpan.FromSeconds(3);
    private readonly ReadProgram _program;
    private readonly Func<Stream, bool> _read;
    private readonly Action<string> _ended;
    private readonly Lock _gate = new();
    private readonly ManualResetEventSlim _stop = new();
    private readonly Thread _thread;
    private Process? _process;
    private int _starts;

    /// <param name="program">What is run.</param>
    /// <param name="read">Reads its output to the end; true when anything of use came.</param>
    /// <param name="ended">Told why it ended or did not start: what it said last. Not told of the end by <see cref="Dispose"/>.</param>
    public ProgramReader(ReadProgram program, Func<Stream, bool> read, Action<string> ended)
    {
        (_program, _read, _ended) = (program, read, ended);
        _thread = new Thread(Run) { IsBackground = true, Name = "reads " + program.Name };
        _thread.Start();
    }

    /// <summary>How often it was started.</summary>
    public int Starts => Volatile.Read(ref _starts);

    public void Dispose()
    {
        lock (_gate)
        {
            if (_stop.IsSet)
            {
                return;
            }

            _stop.Set();
            End();
        }

        // One whose output is held open by somebody else is left to its thread, which holds the event.
        if (_thread.Join(PatienceAtTheEnd))
        {
            _stop.Dispose();
        }
    }

    private void Run()
    {
        var pause = 0.0;
        while (!_stop.IsSet)
        {
            var came = false;
            var why = "it ended";
            try
            {
                using var process = Start();
                var last = LastLine(process.StandardError);
                came = _read(process.StandardOutput.BaseStream);
                lock (_gate)
                {
                    End();
                }

                why = last.Wait(PatienceWithWords) && last.Result.Length > 0 ? last.Result : why;
            }
            catch (Win32Exception)
            {
                why = _program.Missing;
            }
            catch (Exception e) when (e is IOException or InvalidOperationException or AggregateException)
            {
                why = e.Message;
            }

            if (_stop.IsSet)
            {
                return;
            }

            _ended(why);
            pause = Pause(pause, came, _program.LongestPause);
            _stop.Wait(TimeSpan.FromSeconds(pause));
        }
    }

    /// <summary>The next pause, s: 1 at first and after anything came, else twice the one before.</summary>
    internal static double Pause(double before, bool came, double longest) => came ? 1 : Math.Clamp(2 * before, 1, longest);

    private static async Task<string> LastLine(StreamReader words)
    {
        var last = "";
        while (await words.ReadLineAsync().ConfigureAwait(false) is { } line)
        {
            last = line.Trim() is { Length: > 0 } some ? some : last;
        }

        return last;
    }

    private Process Start()
    {
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_stop.IsSet, this);
            _starts++;
            return _process = Process.Start(new ProcessStartInfo(OutsideProgram.File(_program.Name), _program.Arguments)
            {
                UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true,
            }) ?? throw new InvalidOperationException($"{_program.Name} did not start");
        }
    }

    private void End()
    {
        try
        {
            if (_process is { HasExited: false } process)
            {
                process.Kill(entireProcessTree: true);
            }
        }
        catch (Exception e) when (e is InvalidOperationException or Win32Exception or AggregateException)
        {
            // It was gone already.
        }

        _process = null;
    }
}
