using System.Globalization;
using System.Text.Json;
using StageView.DemoShow;
using StageView.Rig.Scene;
using StageView.Stage.Looks;

// demo-show RIG CUES OUT: plays the written cues against the rig and writes what a console would have sent.
if (args.Length != 3)
{
    Console.Error.WriteLine("demo-show: asked as demo-show RIG.rig.jsonc SHOW.cues.jsonc OUT.pcapng");
    return 2;
}

try
{
    if (!RigLoader.TryLoad(args[0], out var rig, out var found))
    {
        foreach (var p in found)
        {
            Console.Error.WriteLine("demo-show: " + p);
        }

        return 2;
    }

    using var document = JsonDocument.Parse(File.ReadAllText(args[1]), LookFile.Options);
    var problems = new List<LookProblem>();
    var show = new Show(rig, document.RootElement, problems);
    using (var file = File.Create(args[2]))
    using (var console = new ConsoleOutput(file, document.RootElement))
    {
        show.Play(console, problems);
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{args[2]}: {show.Length.TotalSeconds:0.#} s at {show.Rate} Hz, {console.Packets} packets, {console.Bytes / 1e6:0.0} MB"));
    }

    foreach (var p in problems.Distinct())
    {
        Console.Error.WriteLine($"demo-show: {args[1]} {p}");
    }

    return problems.Count == 0 ? 0 : 2;
}
catch (Exception e) when (e is IOException or JsonException or UnauthorizedAccessException)
{
    Console.Error.WriteLine("demo-show: " + e.Message);
    return 2;
}
