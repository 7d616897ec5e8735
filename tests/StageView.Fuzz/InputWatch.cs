using System.Diagnostics;
using System.IO.MemoryMappedFiles;

namespace StageView.Fuzz;

/// <summary>
/// Keeps the input that is being run in a file, so that it is there after the process dies (a full stack, memory past its bound), and ends the process
/// where one takes too long.
/// </summary>
internal sealed class InputWatch : IDisposable
{
    /// <summary>Processor time that one input may take.</summary>
    public static readonly TimeSpan Longest = TimeSpan.FromSeconds(5);

    private const int Room = 1 << 20;
    private readonly string _path;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;
    private readonly Timer _timer;
    private long _began;
    private TimeSpan _spentBefore;

    public InputWatch(string target, string path)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        _path = path;
        _file = MemoryMappedFile.CreateFromFile(path, FileMode.Create, null, Room);
        _view = _file.CreateViewAccessor();
        _timer = new Timer(_ => Look(target), null, 500, 500);
    }

    /// <summary>Time of the slowest input so far, by the clock.</summary>
    public TimeSpan Slowest { get; private set; }

    /// <summary>The input that a process left behind, or null.</summary>
    public static byte[]? Left(string path)
    {
        if (!File.Exists(path))
        {
            return null;
        }

        var bytes = File.ReadAllBytes(path);
        return bytes.Length < 4 ? null : bytes[4..(4 + BitConverter.ToInt32(bytes))];
    }

    public void Begin(byte[] input)
    {
        _view.Write(0, input.Length);
        _view.WriteArray(4, input, 0, input.Length);
        _spentBefore = TimeSpan.MinValue;
        Volatile.Write(ref _began, Stopwatch.GetTimestamp());
    }

    public void End()
    {
        var took = Stopwatch.GetElapsedTime(Interlocked.Exchange(ref _began, 0));
        Slowest = took > Slowest ? took : Slowest;
    }

    public void Dispose()
    {
        _timer.Dispose();
        _view.Dispose();
        _file.Dispose();
        File.Delete(_path);
    }

    // Other programs may have the processor: only the process's own time counts, from the first look at an input on.
    private void Look(string target)
    {
        if (Volatile.Read(ref _began) == 0)
        {
            return;
        }

        var spent = Environment.CpuUsage.TotalTime;
        if (_spentBefore == TimeSpan.MinValue)
        {
            _spentBefore = spent;
        }
        else if (spent - _spentBefore > Longest)
        {
            Console.Error.WriteLine($"fuzz {target}: an input took over {Longest.TotalSeconds:F0} s");
            _view.Flush();
            Environment.Exit(1);
        }
    }
}
