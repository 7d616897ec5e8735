using System.Globalization;
using System.Text.Json;
using StageView.Benchmarks;

// The drawing half of live.
if (args is ["live-pictures", .. var how])
{
    return StageView.Benchmarks.LiveBenchmarks.Draw(how);
}

// One way of drawing, of planted.
if (args is [StageView.Benchmarks.Planted.RendererWays.Verb, var into, var way])
{
    return StageView.Benchmarks.Planted.RendererWays.Draw(into, way == "tiles");
}

// A room's benchmarks are a static class <Room>Benchmarks with `public static IEnumerable<Figure> Run()`, and `public static string Table` where a table
// shall stand below the figures.
var rooms = typeof(Figure).Assembly.GetTypes()
    .Where(t => t.Name.EndsWith("Benchmarks", StringComparison.Ordinal) && t.GetMethod("Run") is not null)
    .ToDictionary(t => t.Name[..^"Benchmarks".Length].ToLowerInvariant(), t => t.GetMethod("Run")!);
var nameless = new List<string>();
var asked = args.Length == 0 ? rooms.Keys.Order().ToArray() : args.Select(a => a.ToLowerInvariant()).ToArray();
foreach (var room in asked)
{
    if (!rooms.TryGetValue(room, out var run))
    {
        Console.Error.WriteLine($"bench: no room named {room}; there are {string.Join(", ", rooms.Keys.Order())}");
        return 2;
    }

    Directory.CreateDirectory("out/bench");
    var (load, figures) = (MeasurementPage.LoadNow(), new List<Figure>());
    using var kept = new StreamWriter(Path.Combine("out", "bench", room + ".jsonl"));
    Console.WriteLine($"{"figure",-36} {"value",14} {"unit",-12} against");
    foreach (var figure in (IEnumerable<Figure>)run.Invoke(null, null)!)
    {
        var beside = figure.Against is null ? "" : $"{figure.Against}, ratio {figure.Ratio?.ToString("G3", CultureInfo.InvariantCulture)}";
        Console.WriteLine($"{figure.Name,-36} {figure.Value.ToString("G4", CultureInfo.InvariantCulture),14} {figure.Unit,-12} {beside}");
        var line = JsonSerializer.Serialize(figure);
        Console.WriteLine(line);
        kept.WriteLine(line);
        figures.Add(figure);
    }

    nameless.AddRange(figures.Select(f => f.Name).Where(n => Meanings.Of(n) is null));
    if (figures.Count > 0)
    {
        Console.WriteLine(MeasurementPage.Write(room, figures, load, run.DeclaringType!.GetProperty("Table")?.GetValue(null) as string));
    }
}

if (nameless.Count > 0)
{
    Console.Error.WriteLine($"bench: Meanings has no line for {string.Join(", ", nameless)}");
    return 1;
}

return 0;
