using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;

namespace StageView.Fuzz;

/// <summary>
/// Runs a target on changed inputs and keeps those that go a new way, to change them further (coverage-guided). They lie in <c>out/fuzz/corpus/TARGET</c>, so
/// that the next run goes on from there; what breaks the target lies in <c>out/fuzz/found</c>.
/// </summary>
internal sealed class CoverageRun : IDisposable
{
    /// <summary>What a worker thread has, on which rigs are read in live: the main thread has more.</summary>
    private const int StackBytes = 1 << 20;

    private readonly string _name;
    private readonly FuzzTarget _target;
    private readonly CoverageMap _map = new();
    private readonly List<byte[]> _corpus = [];
    private readonly HashSet<string> _found = [];
    private readonly string _folder;
    private readonly InputWatch _watch;
    private long _runs;

    private CoverageRun(string name, FuzzTarget target)
    {
        (_name, _target, _folder) = (name, target, Path.Combine("out", "fuzz", "corpus", name));
        _watch = new InputWatch(name, Current(name));
        Directory.CreateDirectory(_folder);
    }

    /// <returns>The exit code: 1 where something broke the target.</returns>
    public static int Run(string name, FuzzTarget target, TimeSpan time, int seed)
    {
        if (Keep(name, InputWatch.Left(Current(name)), "stopped") is { } left)
        {
            Console.Error.WriteLine($"fuzz {name}: an earlier run was stopped within {left}");
        }

        var code = 0;
        var thread = new Thread(
            () =>
            {
                using var run = new CoverageRun(name, target);
                code = run.Go(time, seed);
            },
            StackBytes);
        thread.Start();
        thread.Join();
        return code;
    }

    public void Dispose() => _watch.Dispose();

    /// <summary>Where the input being run lies.</summary>
    public static string Current(string name) => Path.Combine("out", "fuzz", $"{name}.current");

    /// <summary>Keeps an input that breaks a target; its path.</summary>
    public static string? Keep(string name, byte[]? input, string how)
    {
        if (input is null)
        {
            return null;
        }

        var kept = Path.Combine("out", "fuzz", "found", $"{name}-{how}-{Hash(input)}.bin");
        Directory.CreateDirectory(Path.GetDirectoryName(kept)!);
        File.WriteAllBytes(kept, input);
        return kept;
    }

    private static string Hash(byte[] input) => Convert.ToHexStringLower(SHA256.HashData(input))[..12];

    private int Go(TimeSpan time, int seed)
    {
        var start = Stopwatch.GetTimestamp();
        var earlier = Directory.EnumerateFiles(_folder).Order(StringComparer.Ordinal).Select(File.ReadAllBytes).ToList();
        // A run that goes on from an earlier one takes other chances.
        var random = new Random(seed + earlier.Count);
        var mutator = new Mutator(random);
        var seeds = _target.MakeSeeds();
        foreach (var words in (IEnumerable<byte[]>)[.. seeds, .. _target.MakeWords?.Invoke() ?? []])
        {
            mutator.Learn(words);
        }

        foreach (var known in (IEnumerable<byte[]>)[.. seeds, .. earlier])
        {
            Try(known, keep: false);
        }

        var (edgesBefore, corpusBefore) = (_map.Edges, _corpus.Count);
        while (Stopwatch.GetElapsedTime(start) < time && _corpus.Count > 0)
        {
            // Half of the time the newest: they lead on.
            var from = random.Next(2) == 0 ? Math.Max(0, _corpus.Count - 48) : 0;
            Try(mutator.Change(_corpus[random.Next(from, _corpus.Count)], _corpus), keep: true);
        }

        using var self = Process.GetCurrentProcess();
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"fuzz {_name}: {_runs} inputs in {Stopwatch.GetElapsedTime(start).TotalSeconds:F0} s, {_map.Edges} edges reached ({edgesBefore} at the start), "
            + $"{_corpus.Count} inputs kept ({corpusBefore} at the start), {_found.Count} faults; the slowest took {_watch.Slowest.TotalMilliseconds:F0} ms, "
            + $"memory peaked at {self.PeakWorkingSet64 / 1048576} MiB"));
        return _found.Count > 0 ? 1 : 0;
    }

    private void Try(byte[] input, bool keep)
    {
        _runs++;
        _watch.Begin(input);
        _map.Clear();
        try
        {
            _target.Run(input);
        }
        catch (Exception e)
        {
            // One of each kind: by where it came from.
            if (_found.Add($"{e.GetType().Name} {string.Concat((e.StackTrace ?? "").Split('\n').Take(3))}"))
            {
                var kept = Keep(_name, input, "threw");
                Console.Error.WriteLine($"fuzz {_name}: {e.GetType().Name} after {_runs} inputs: {e.Message}; the input is {kept}\n{e.StackTrace}");
            }

            _watch.End();
            return;
        }

        _watch.End();
        if (_map.Add() || (!keep && _corpus.Count == 0))
        {
            _corpus.Add(input);
            if (keep)
            {
                File.WriteAllBytes(Path.Combine(_folder, Hash(input)), input);
            }
        }
    }
}
