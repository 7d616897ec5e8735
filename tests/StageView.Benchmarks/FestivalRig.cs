using System.Globalization;
using System.Text.Json;

namespace StageView.Benchmarks;

/// <summary>Rigs of any size, made up: rows of heads over a stage of 40 m, mirrors behind them, trusses, people, an audience of 100 by 80 m.</summary>
internal static class FestivalRig
{
    private const int PerRow = 50;

    /// <summary>Writes <c>festival.rig.jsonc</c> and a look that sets each head by itself; returns the rig's path.</summary>
    public static string Write(string folder, int heads, string fixtures)
    {
        Directory.CreateDirectory(folder);
        var random = new Random(7);
        var hangs = new List<object>();
        var set = new List<object>();
        for (var row = 0; row * PerRow < heads; row++)
        {
            var (first, high, back) = (1 + (row * 1000), 10 + (row % 5), 2 + (row * .5));
            hangs.Add(new
            {
                name = $"row {row + 1} head", profile = "spot-head", number = first, groups = new[] { "heads" }, patch = new
                {
                    start = $"{1 + (row * 10)}.1",
                    perUniverse = 5
                },
                row = new { from = new[] { -20, back, high }, to = new[] { 20, back, high }, count = Math.Min(PerRow, heads - (row * PerRow)) },
            });
            for (var i = 0; i < Math.Min(PerRow, heads - (row * PerRow)); i++)
            {
                set.Add(new
                {
                    fixtures = (first + i).ToString(CultureInfo.InvariantCulture), dimmer = 1, pan = (360 * random.NextDouble()) - 180,
                    tilt = (180 * random.NextDouble()) - 90,
                });
            }
        }

        var trusses = Enumerable.Range(0, 40).Select(i => (object)new
        {
            name = $"truss {i}", shape = "truss", from = new[] { -22, -2 + (i * .9), 9.2 - (i % 4) }, to = new[] { 22, -2 + (i * .9), 9.2 - (i % 4) },
            width = .4,
        });
        var people = Enumerable.Range(0, 100).Select(i => (object)new
        {
            name = $"person {i}", shape = "person", at = new[] { -45 + (i % 10 * 10), -80
            + (i / 10 * 7), 0 }
        });
        var rig = Path.Combine(folder, "festival.rig.jsonc");
        File.WriteAllText(rig, JsonSerializer.Serialize(new
        {
            name = "Festival", profiles = new[] { fixtures }, haze = new { extinction = .01 },
            cameras = new[] { new { name = "house", at = new[] { 0, -60, 5 }, lookAt = new[] { 0, 10, 5 }, ev = 6 } },
            volumes = new[] { new { name = "field", kind = "audience", at = new[] { 0, -45, 1 }, size = new[] { 100, 80, 2 } } },
            areas = new[] { new { name = "floor", corner = new[] { -20, 0, 0.01 }, across = new[] { 40, 0, 0 }, along = new[] { 0, 20, 0 },
                points = new[] { 9, 5 } } },
            hangs,
            mirrors = Enumerable.Range(0, 20).Select(i => new
            {
                name = $"mirror {i}", at = new[] { -15 + (i % 10 * 3), 30, 5 + (i / 10 * 3) }, rotate = new[] { 100, 0, 0 }, size = new[] { 3, 3 },
                surface = new { reflectance = .9 },
            }),
            scenery = trusses.Concat(people).Append(new
            {
                name = "floor", shape = "plane", at = new[] { 0, -20, 0 }, size = new[] { 140, 140, 1 },
                albedo = .2
            }),
        }));
        File.WriteAllText(Path.Combine(folder, "festival.look.jsonc"), JsonSerializer.Serialize(new { set }));
        return rig;
    }
}
