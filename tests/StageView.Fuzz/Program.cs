using SharpFuzz;
using StageView.Fuzz;

// Two ways to run a target: by itself (mutates the seeds for some seconds with a fixed seed of chance, no instrumentation), or
// under afl-fuzz, which sets __AFL_SHM_ID and hands the inputs over (see README.md beside this file).
var targets = WireTargets.All;
if (args.Length == 0 || !targets.TryGetValue(args[0], out var target))
{
    Console.Error.WriteLine($"fuzz: name a target: {string.Join(", ", targets.Keys)}");
    return 2;
}

if (Environment.GetEnvironmentVariable("__AFL_SHM_ID") is not null)
{
    Fuzzer.OutOfProcess.Run(stream =>
    {
        using var copy = new MemoryStream();
        stream.CopyTo(copy);
        target.Run(copy.ToArray());
    });
    return 0;
}

if (args.Length > 2 && args[1] == "one")
{
    target.Run(File.ReadAllBytes(args[2]));
    Console.WriteLine($"fuzz {args[0]}: {args[2]} doesn't break it");
    return 0;
}

if (args.Length > 2 && args[1] == "seeds")
{
    Directory.CreateDirectory(args[2]);
    var seeds = target.MakeSeeds();
    for (var i = 0; i < seeds.Count; i++)
    {
        File.WriteAllBytes(Path.Combine(args[2], $"seed-{i}"), seeds[i]);
    }

    return 0;
}

var seconds = args.Length > 1 && double.TryParse(args[1], out var asked) ? asked : 20;
return Mutator.Run(args[0], target, TimeSpan.FromSeconds(seconds), seed: 20_26);
