using System.Diagnostics;

namespace StageView.Fuzz;

/// <summary>Changes seeds by chance and runs a target on them; keeps what breaks it in <c>out/fuzz</c>.</summary>
internal static class Mutator
{
    private static readonly byte[] s_edges = [0, 1, 2, 0x7F, 0x80, 0xFE, 0xFF];

    public static int Run(string name, FuzzTarget target, TimeSpan time, int seed)
    {
        var random = new Random(seed);
        var seeds = target.MakeSeeds();
        var start = Stopwatch.GetTimestamp();
        long runs = 0;
        var slowest = TimeSpan.Zero;
        while (Stopwatch.GetElapsedTime(start) < time)
        {
            var input = Mutate(seeds[random.Next(seeds.Count)], seeds, random);
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

    private static byte[] Mutate(byte[] seed, IReadOnlyList<byte[]> seeds, Random random)
    {
        var bytes = new List<byte>(seed);
        for (var n = random.Next(1, 9); n > 0 && bytes.Count > 0; n--)
        {
            var at = random.Next(bytes.Count);
            switch (random.Next(7))
            {
                case 0:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 1:
                    bytes[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 2:
                    bytes[at] = s_edges[random.Next(s_edges.Length)];
                    break;
                case 3:
                    bytes.RemoveRange(at, Math.Min(bytes.Count - at, random.Next(1, 64)));
                    break;
                case 4:
                    bytes.InsertRange(at, bytes.GetRange(at, Math.Min(bytes.Count - at, random.Next(1, 64))));
                    break;
                case 5:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
                default:
                    var other = seeds[random.Next(seeds.Count)];
                    var from = random.Next(other.Length);
                    bytes.InsertRange(at, other.AsSpan(from, Math.Min(other.Length - from, random.Next(1, 200))).ToArray());
                    break;
            }
        }

        return [.. bytes];
    }
}
