using System.Diagnostics;

namespace StageView.Fuzz;

/// <summary>Changes seeds by chance and runs a target on them; keeps what breaks it in <c>out/fuzz</c>.</summary>
internal static class BlindRun
{
    public static int Run(string name, FuzzTarget target, TimeSpan time, int seed)
    {
        var random = new Random(seed);
        var seeds = target.MakeSeeds();
        var mutator = new Mutator(random);
        var start = Stopwatch.GetTimestamp();
        long runs = 0;
        var slowest = TimeSpan.Zero;
        while (Stopwatch.GetElapsedTime(start) < time)
        {
            var input = mutator.Change(seeds[random.Next(seeds.Count)], seeds);
            var began = Stopwatch.GetTimestamp();
            try
            {
                target.Run(input);
            }
            catch (Exception e)
            {
                Directory.CreateDirectory(Path.Combine("out", "fuzz"));
                var kept = Path.Combine("out", "fuzz", $"{name}-{runs}.bin");
                File.WriteAllBytes(kept, input);
                Console.Error.WriteLine($"fuzz {name}: {e.GetType().Name} after {runs} inputs: {e.Message}; the input is {kept}\n{e.StackTrace}");
                return 1;
            }

            var took = Stopwatch.GetElapsedTime(began);
            slowest = took > slowest ? took : slowest;
            runs++;
        }

        using var self = Process.GetCurrentProcess();
        Console.WriteLine(
            $"fuzz {name}: {runs} inputs in {time.TotalSeconds:F0} s, none broke it; the slowest took {slowest.TotalMilliseconds:F1} ms, memory peaked at "
            + $"{self.PeakWorkingSet64 / 1048576} MiB");
        return slowest > TimeSpan.FromSeconds(2) ? 1 : 0;
    }
}
