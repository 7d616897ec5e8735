using SharpFuzz;
using StageView.Fuzz;

// Ways to run a target: by itself, blind (changes the seeds for some seconds with a fixed seed of chance); with coverage ("cover", where the
// assemblies beside the program were instrumented before by "instrument"); or under afl-fuzz, which sets __AFL_SHM_ID and hands the inputs over.
// See the README.
const int Chance = 20_26;
var rooms = new Dictionary<string, IReadOnlyDictionary<string, FuzzTarget>> { ["wire"] = WireTargets.All, ["rig"] = RigTargets.All };
if (args is ["targets", var room] && rooms.TryGetValue(room, out var listed))
{
    Console.WriteLine(string.Join('\n', listed.Keys));
    return 0;
}

if (args is ["instrument", var folder])
{
    foreach (var name in RigTargets.Instrumented)
    {
        var types = Fuzzer.Instrument(Path.Combine(folder, name + ".dll"), RigTargets.IsCounted, Options.Value).Count();
        Console.WriteLine($"fuzz: ways are counted in {types} types of {name}");
    }

    return 0;
}

var targets = rooms.Values.SelectMany(r => r).ToDictionary(t => t.Key, t => t.Value);
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

if (args.Length > 1 && args[1] == "left")
{
    if (CoverageRun.Keep(args[0], InputWatch.Left(CoverageRun.Current(args[0])), "died") is { } left)
    {
        File.Delete(CoverageRun.Current(args[0]));
        Console.Error.WriteLine($"fuzz {args[0]}: the process died on {left}");
    }

    return 0;
}

var seconds = args.Length > 1 && double.TryParse(args[^1], out var asked) ? asked : 20;
return args.Length > 1 && args[1] == "cover"
    ? CoverageRun.Run(args[0], target, TimeSpan.FromSeconds(seconds), Chance)
    : BlindRun.Run(args[0], target, TimeSpan.FromSeconds(seconds), Chance);
