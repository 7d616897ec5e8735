using System.Diagnostics;
using System.Globalization;
using System.Numerics;
using StageView.Light.Moments;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Render.Tests;

namespace StageView.Benchmarks;

/// <summary>How verbs and pictures grow with the rig: whole commands on generated rigs of 1,000 to 10,000 heads, and a large model in moving beams.</summary>
public static class FestivalBenchmarks
{
    private static readonly string[] s_verbs = ["check", "patch", "levels", "explain", "lux", "bounces", "cautions"];

    public static IEnumerable<Figure> Run()
    {
        if (!OperatingSystem.IsLinux())
        {
            Console.WriteLine("festival.* is left out: processor time of commands is read as Linux tells it");
            yield break;
        }

        var rigs = new[] { 1000, 3000, 10_000 }.Select(n => FestivalRig.Write(Path.Combine("out", "bench", $"festival-{n}"), n,
            Path.GetFullPath(Path.Combine("assets", "fixtures")))).ToArray();
        var (start, _) = Of(["--version"]);
        foreach (var verb in s_verbs)
        {
            var costs = rigs.Select(rig => Of(Asked(verb, rig))).ToArray();
            yield return new Figure($"festival.{verb}", costs[1].Seconds, "s", "start alone", costs[1].Seconds / start);
            yield return new Figure($"festival.{verb}.memory", costs[1].Megabytes, "MB");
            yield return new Figure($"festival.{verb}.growth", Math.Log10(Math.Max(.01, costs[2].Seconds - start) / Math.Max(.01, costs[0].Seconds - start)),
                "1");
        }

        yield return Mesh();
    }

    private static string[] Asked(string verb, string rig)
    {
        var look = rig.Replace(".rig.", ".look.", StringComparison.Ordinal);
        return verb switch
        {
            "check" or "patch" => [verb, rig],
            "levels" => [verb, rig, look],
            "explain" => [verb, rig, "1", "--look", look],
            "lux" => [verb, rig, "--look", look, "--on", "floor"],
            _ => [verb, rig, "--look", look],
        };
    }

    /// <summary>Processor time of the smaller of two runs, and the most memory that it was seen with.</summary>
    private static (double Seconds, double Megabytes) Of(string[] arguments)
    {
        var (least, most) = (double.MaxValue, 0.0);
        for (var run = 0; run < 2; run++)
        {
            // A shell tells its children's times as POSIX has it: minutes and seconds, of its own, then of theirs.
            using var process = Process.Start(new ProcessStartInfo("sh", ["-c", "\"$@\" >/dev/null 2>&1; times", "sh", "dotnet",
                Path.Combine(AppContext.BaseDirectory, "stageview.dll"), .. arguments])
            { RedirectStandardOutput = true })!;
            while (!process.WaitForExit(20))
            {
                most = Math.Max(most, Resident(process.Id));
            }

            var words = process.StandardOutput.ReadToEnd().Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries);
            least = Math.Min(least, words[2..4].Sum(w => (60 * double.Parse(w[..w.IndexOf('m')], CultureInfo.InvariantCulture))
                + double.Parse(w[(w.IndexOf('m') + 1)..^1], CultureInfo.InvariantCulture)));
        }

        return (least, most);
    }

    /// <summary>Most memory so far of a shell's child, MB; 0 when it is gone.</summary>
    private static double Resident(int shell)
    {
        try
        {
            var child = File.ReadAllText($"/proc/{shell}/task/{shell}/children").Trim();
            var line = child.Length == 0 ? null : File.ReadLines($"/proc/{child}/status").FirstOrDefault(l => l.StartsWith("VmHWM:", StringComparison.Ordinal));
            return line is null ? 0 : double.Parse(line[6..^2], CultureInfo.InvariantCulture) / 1000;
        }
        catch (IOException)
        {
            return 0;
        }
    }

    private static Figure Mesh()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        IReadOnlyList<SceneMesh> meshes = [.. Scenes.Builder().Meshes, Hills(708)];
        var settings = new RenderSettings { Width = 1280, Height = 720 };
        double Frame(IReadOnlyList<SceneMesh>? model)
        {
            var times = new List<double>();
            for (var i = 0; i < 6; i++)
            {
                var moment = Scenes.Large(300, 0, .01f * i, model);
                var start = Stopwatch.GetTimestamp();
                renderer.Render(moment, Scenes.House(), settings);
                times.Add(Stopwatch.GetElapsedTime(start).TotalSeconds);
            }

            return times.Skip(1).Order().ElementAt(2);
        }

        var plain = Frame(null);
        var with = Frame(meshes);
        return new Figure("festival.mesh", with, "s", "without the model", with / plain);
    }

    /// <summary>A hilly ground of 2 side² triangles over the stage, up to 1.5 m high.</summary>
    private static SceneMesh Hills(int side)
    {
        var positions = new Vector3[(side + 1) * (side + 1)];
        for (var i = 0; i < positions.Length; i++)
        {
            var (x, y) = ((24f * (i % (side + 1)) / side) - 12, (16f * (i / (side + 1)) / side) - 4);
            positions[i] = new Vector3(x, y, .75f + (.75f * MathF.Sin(2 * x) * MathF.Cos(1.7f * y)));
        }

        var indices = new int[6 * side * side];
        for (var i = 0; i < side * side; i++)
        {
            var a = (i / side * (side + 1)) + (i % side);
            ((int[])[a, a + 1, a + side + 2, a, a + side + 2, a + side + 1]).CopyTo(indices, 6 * i);
        }

        return new SceneMesh { Name = "hills", Positions = positions, Normals = [.. positions.Select(_ => Vector3.UnitZ)], Indices = indices };
    }
}
