using System.Diagnostics;
using System.Text.Json;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Sets;

namespace StageView.Benchmarks;

/// <summary>Pairs of 1920x1080 frames from files, beside odiff's server mode and pixelmatch in the same run; and a long set with its memory.</summary>
public static class SnapshotBenchmarks
{
    private const int Rounds = 15;

    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            return [.. Pairs(folder), .. Set(folder)];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static IEnumerable<Figure> Pairs(string folder)
    {
        var stage = Stage(1920, 1080, 0);
        string Write(string name, FrameImage image)
        {
            var path = Path.Combine(folder, name + ".png");
            FrameFile.Save(image, path);
            return path;
        }

        var baseline = Write("base", stage);
        var copy = Path.Combine(folder, "copy.png");
        // The same pixels packed another way: bytes differ, the stamped hash decides.
        File.WriteAllBytes(copy, FrameFile.Encode(stage, PngPacking.Quick));
        foreach (var (name, file) in new[]
        {
            ("identical", copy), ("changed", Write("box", Boxed(stage))), ("changed.shift", Write("shift", Stage(1920, 1080, 1))),
            ("changed.noise", Write("noise", Noisy(stage))),
        })
        {
            var rivals = Rivals(baseline, file);
            var ours = Best(() => PairComparer.Compare(baseline, file, CompareSettings.Default));
            yield return new Figure($"snapshot.{name}", ours, "ms");
            if (rivals is { } r)
            {
                yield return new Figure($"snapshot.{name}.vs_odiff", ours, "ms", $"odiff server {r.Odiff:0.0} ms", ours / r.Odiff);
                if (r.Cpu is { } cpu)
                {
                    var own = ProcessorTime(() => PairComparer.Compare(baseline, file, CompareSettings.Default));
                    yield return new Figure($"snapshot.{name}.processor.vs_odiff", own, "ms", $"odiff server's processor time {cpu:0.0} ms", own / cpu);
                }

                yield return new Figure($"snapshot.{name}.vs_odiff_command", ours, "ms", $"odiff as a command {r.Command:0.0} ms", ours / r.Command);
                yield return new Figure($"snapshot.{name}.vs_pixelmatch", ours, "ms", $"pixelmatch with pngjs {r.Pixelmatch:0.0} ms", ours / r.Pixelmatch);
                if (name != "identical")
                {
                    var drawn = Best(() => CompareAndDraw(baseline, file, Path.Combine(folder, "difference.png")));
                    yield return new Figure($"snapshot.{name}.drawn.vs_odiff", drawn, "ms", $"odiff server {r.Odiff:0.0} ms, which also draws",
                        drawn / r.Odiff);
                }
            }
        }
    }

    private static IEnumerable<Figure> Set(string folder)
    {
        var (before, after) = (Path.Combine(folder, "set base"), Path.Combine(folder, "set new"));
        Directory.CreateDirectory(before);
        Directory.CreateDirectory(after);
        byte[][] frames = [.. Enumerable.Range(0, 4).Select(i => FrameFile.Encode(Stage(1920, 1080, i)))];
        for (var i = 0; i < 1000; i++)
        {
            File.WriteAllBytes(Path.Combine(before, $"{i:0000}.png"), frames[i % 4]);
            File.WriteAllBytes(Path.Combine(after, $"{i:0000}.png"), frames[i % 10 == 0 ? (i + 1) % 4 : i % 4]);
        }

        // The largest working set while each hundred of frames was compared.
        var peaks = new long[10];
        // What is still held after each hundred, once all that isn't has been collected.
        var held = new List<long>();
        var watch = Stopwatch.StartNew();
        var result = SetComparison.Run(new SetRequest { Base = FrameSet.Open(before), New = FrameSet.Open(after), WorkFolder = Path.Combine(folder, "work") },
            p =>
        {
            using var self = Process.GetCurrentProcess();
            ref var peak = ref peaks[(p.Done - 1) / 100];
            peak = Math.Max(peak, self.WorkingSet64);
            if (p.Done % 100 == 0)
            {
                held.Add(GC.GetTotalMemory(forceFullCollection: true));
            }
        });
        yield return new Figure("snapshot.set_1000.seconds", watch.Elapsed.TotalSeconds, "s",
            $"{result.Count(FrameVerdict.Changed)} changed frames, each drawn");
        static string Series(IEnumerable<long> bytes) =>
            string.Join(' ', bytes.Select(b => (b / 1e6).ToString("0", System.Globalization.CultureInfo.InvariantCulture)));
        yield return new Figure("snapshot.set_1000.memory", peaks.Max() / 1e6, "MB",
            $"peaks of each hundred frames {Series(peaks)} MB; last hundred over second", (double)peaks[9] / peaks[1]);
        yield return new Figure("snapshot.set_1000.held", held[^1] / 1e6, "MB", $"held after each hundred frames {Series(held)} MB; last hundred over second",
            (double)held[9] / held[1]);
    }

    private static void CompareAndDraw(string before, string after, string file)
    {
        var result = PairComparer.Compare(FrameFile.ReadBytes(before), before, FrameFile.ReadBytes(after), after, CompareSettings.Default, null, out var a,
            out var b);
        if (result.Verdict == FrameVerdict.Changed)
        {
            var picture = DifferencePicture.Draw(a!, b!, result.Map!);
            FrameFile.SaveBytes(FrameFile.EncodePlain(picture, PngPacking.Quick), file);
            FrameBuffers.Return(picture.Rgba);
        }

        FrameBuffers.Return(a?.Rgba);
        FrameBuffers.Return(b?.Rgba);
    }

    /// <summary>The best of some rounds: what else runs on the machine only ever adds.</summary>
    private static double Best(Action run)
    {
        var times = new List<double>();
        for (var i = 0; i < Rounds + 5; i++)
        {
            var start = Stopwatch.GetTimestamp();
            run();
            if (i >= 5)
            {
                times.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            }
        }

        return times.Min();
    }

    /// <summary>Mean processor time of all threads: tells the same on a busy machine.</summary>
    private static double ProcessorTime(Action run)
    {
        using var self = Process.GetCurrentProcess();
        var start = self.TotalProcessorTime;
        for (var i = 0; i < 20; i++)
        {
            run();
        }

        self.Refresh();
        return (self.TotalProcessorTime - start).TotalMilliseconds / 20;
    }

    private static (double Odiff, double? Cpu, double Command, double Pixelmatch)? Rivals(string before, string after)
    {
        var folder = Path.Combine("tests", "StageView.Benchmarks", "rivals");
        if (!Directory.Exists(Path.Combine(folder, "node_modules", "odiff-bin")))
        {
            using var install = Start("npm", ["install", "--no-save", "--no-audit", "--no-fund"], folder);
            install?.WaitForExit();
        }

        using var node = Start("node", ["time.mjs", before, after], folder);
        if (node is null)
        {
            Console.Error.WriteLine("bench: no odiff and pixelmatch beside ours: node and npm are missing");
            return null;
        }

        var text = node.StandardOutput.ReadToEnd();
        node.WaitForExit();
        if (node.ExitCode != 0)
        {
            Console.Error.WriteLine($"bench: no odiff and pixelmatch beside ours: run 'npm install --no-save' in {folder}");
            return null;
        }

        using var json = JsonDocument.Parse(text);
        double Of(string name) => json.RootElement.GetProperty(name).GetDouble();
        double? cpu = json.RootElement.GetProperty("odiffServerCpu") is { ValueKind: JsonValueKind.Number } c ? c.GetDouble() : null;
        return (Of("odiffServer"), cpu, Of("odiffCommand"), Of("pixelmatch"));
    }

    private static Process? Start(string program, string[] args, string folder)
    {
        try
        {
            return Process.Start(new ProcessStartInfo(program, args)
            {
                WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true,
            });
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }

    /// <summary>A dark stage of cones in dithered haze, as a renderer leaves it.</summary>
    private static FrameImage Stage(int width, int height, int shift)
    {
        var image = new FrameImage(width, height);
        var random = new Random(11);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                double light = 4 + (8.0 * y / height);
                for (var k = 0; k < 6; k++)
                {
                    var off = Math.Abs(x - shift - (width * (k + 1) / 7.0)) / (20 + (y * 0.12));
                    light += 70 * Math.Exp(-off * off * 2);
                }

                var v = light + random.NextDouble();
                image.Set(x, y, (byte)v, (byte)(v * 0.7), (byte)(v * 0.9));
            }
        }

        return image;
    }

    private static FrameImage Boxed(FrameImage from)
    {
        var image = from.Clone();
        for (var y = 400; y < 600; y++)
        {
            for (var x = 700; x < 1000; x++)
            {
                image.Set(x, y, 90, 40, 30);
            }
        }

        return image;
    }

    private static FrameImage Noisy(FrameImage from)
    {
        var image = from.Clone();
        var random = new Random(3);
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            if ((i & 3) != 3)
            {
                image.Rgba[i] = (byte)Math.Clamp(image.Rgba[i] + random.Next(-1, 2), 0, 255);
            }
        }

        return image;
    }
}
