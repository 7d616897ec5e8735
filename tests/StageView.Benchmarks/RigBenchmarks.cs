using System.Diagnostics;
using System.Globalization;
using System.IO.Compression;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using StageView.Rig.Assets;
using StageView.Rig.Checks;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Benchmarks;

/// <summary>
/// Rigs as people have them: checking 2,000 fixtures on 200 universes, and 1,000 fixtures through MVR and back. CPU time, since other things may run.
/// </summary>
public static class RigBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            var rig = Path.Combine(folder, "large.rig.jsonc");
            File.WriteAllText(rig, Large());
            var options = RigLoadOptions.Default with { ProfileFolders = [Path.Combine(AppContext.BaseDirectory, "assets", "fixtures")] };
            RigSummary? summary = null;
            var check = Cpu(() => RigChecker.Check(rig, options, out summary), 7);
            if (summary is not { Fixtures: 2000, Universes.Count: 200 })
            {
                throw new InvalidOperationException($"{summary?.Fixtures} fixtures on {summary?.Universes.Count} universes were checked");
            }

            var text = File.ReadAllBytes(rig);
            var parse = Cpu(() => JsonDocument.Parse(text,
                new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true }).Dispose(), 7);
            yield return new Figure("rig.check.2000fixtures", check, "s CPU", "the base library's JSON parser on the same file", check / parse);
            var (wall, cpu) = Whole(rig);
            yield return new Figure("rig.check.2000fixtures.process", cpu, "s CPU", "rig.check.2000fixtures", cpu / check);
            yield return new Figure("rig.check.2000fixtures.process.wall", wall, "s", "its CPU time", wall / cpu);
            foreach (var figure in Mvr(folder))
            {
                yield return figure;
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static IEnumerable<Figure> Mvr(string folder)
    {
        var mvr = Path.Combine(folder, "show.mvr");
        File.WriteAllBytes(mvr, Thousand());
        var run = 0;
        var worst = 0f;
        var round = Cpu(
            () =>
            {
                var first = Load(mvr, Path.Combine(folder, $"a{run}"));
                var back = Path.Combine(folder, $"back{run}.mvr");
                using (var to = File.Create(back))
                {
                    MvrExporter.Export(first, to);
                }

                var second = Load(back, Path.Combine(folder, $"b{run++}"));
                var byUuid = second.Fixtures.ToDictionary(f => f.Uuid, StringComparer.OrdinalIgnoreCase);
                foreach (var f in first.Fixtures)
                {
                    var other = byUuid[f.Uuid];
                    worst = Math.Max(worst, System.Numerics.Vector3.Distance(f.Pose.TransformPoint(System.Numerics.Vector3.One),
                        other.Pose.TransformPoint(System.Numerics.Vector3.One)));
                    if (!f.Patch.SequenceEqual(other.Patch))
                    {
                        throw new InvalidOperationException($"{f.Name} came back with another patch");
                    }
                }
            },
            3);
        var plain = Cpu(
            () =>
            {
                using var zip = ZipFile.OpenRead(mvr);
                using var xml = zip.GetEntry("GeneralSceneDescription.xml")!.Open();
                XDocument.Load(xml);
            },
            5);
        yield return new Figure("rig.mvr.1000fixtures.roundtrip", round, "s CPU", "unzipping and parsing the description with the base library", round / plain);
        yield return new Figure("rig.mvr.1000fixtures.roundtrip.moved", worst * 1000, "mm");
    }

    private static RigScene Load(string mvr, string folder)
    {
        if (!MvrImporter.TryImport(mvr, folder, out var report, out var problem)
            || !RigLoader.TryLoad(report.RigFile, RigLoadOptions.Default, out var rig, out var problems))
        {
            throw new InvalidOperationException(problem?.ToString() ?? "the imported rig can't be loaded");
        }

        return rig.Fixtures.Count == 1000 ? rig : throw new InvalidOperationException($"{rig.Fixtures.Count} fixtures came in; {problems.Count} problems");
    }

    /// <summary>200 hangs of ten heads, a universe each, on 40 trusses.</summary>
    private static string Large()
    {
        var b = new StringBuilder("// Made for a measurement.\n{\n  \"name\": \"Large\",\n  \"parts\": [\n");
        for (var t = 0; t < 40; t++)
        {
            b.Append(CultureInfo.InvariantCulture,
                $"    {{ \"name\": \"truss {t}\", \"at\": [0, {t * .8}, 9], \"scenery\": [{{ \"name\": \"truss {t}\", \"shape\": \"truss\", \"from\": [-20, "
                + $"0, 0], \"to\": [20, 0, 0] }}], \"hangs\": [\n");
            for (var h = 0; h < 5; h++)
            {
                var x = -20 + (8 * h);
                b.Append(CultureInfo.InvariantCulture,
                    $"      {{ \"name\": \"head {t}.{h}\", \"profile\": \"spot-head\", \"number\": {(t * 100) + (h * 10) + 1}, \"row\": {{ \"from\": [{x}, 0, "
                    + $"0], \"to\": [{x + 7}, 0, 0], \"count\": 10 }}, \"patch\": \"{(t * 5) + h + 1}.1\" }},\n");
            }

            b.Append("    ] },\n");
        }

        return b.Append("  ]\n}\n").ToString();
    }

    private static byte[] Thousand()
    {
        const string Gdtf = """
            <GDTF DataVersion="1.2"><FixtureType Name="Head"><Geometries><Geometry Name="Base"><Axis Name="Yoke"><Axis Name="Head"><Beam Name="Lens"/></Axis>
              </Axis></Geometry></Geometries>
            <DMXModes><DMXMode Name="One" Geometry="Base"><DMXChannels>
            <DMXChannel Offset="1,2" Geometry="Yoke"><LogicalChannel Attribute="Pan"><ChannelFunction Attribute="Pan" PhysicalFrom="270" PhysicalTo="-270"/>
              </LogicalChannel></DMXChannel>
            <DMXChannel Offset="3" Geometry="Lens"><LogicalChannel Attribute="Dimmer"><ChannelFunction Attribute="Dimmer"/></LogicalChannel></DMXChannel>
            </DMXChannels></DMXMode></DMXModes></FixtureType></GDTF>
            """;
        var random = new Random(5);
        var b = new StringBuilder("<GeneralSceneDescription verMajor=\"1\" verMinor=\"6\"><Scene><Layers><Layer name=\"A\" uuid=\"1\"><ChildList>");
        for (var i = 0; i < 1000; i++)
        {
            var (sin, cos) = Math.SinCos(random.NextDouble() * Math.Tau);
            b.Append(
                CultureInfo.InvariantCulture,
                $"<Fixture name=\"Head {i}\" uuid=\"{new Guid(i, 0, 0, new byte[8])}\"><Matrix>{{{cos:R},{sin:R},0}}{{{-sin:R},{cos:R},0}}{{0,0,1}}"
                + $"{{{random.NextDouble() * 60000:R},{random.NextDouble() * 60000:R},{random.NextDouble() * 20000:R}}}</Matrix>"
                + $"<GDTFSpec>head.gdtf</GDTFSpec><GDTFMode>One</GDTFMode><FixtureID>{i + 1}</FixtureID>"
                + $"<Addresses><Address break=\"0\">{(i * 3 / 510 * 512) + (i * 3 % 510) + 1}</Address></Addresses></Fixture>");
        }

        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
        {
            Put(zip, "GeneralSceneDescription.xml",
                Encoding.UTF8.GetBytes(b.Append("</ChildList></Layer></Layers></Scene></GeneralSceneDescription>").ToString()));
            using var inner = new MemoryStream();
            using (var gdtf = new ZipArchive(inner, ZipArchiveMode.Create, leaveOpen: true))
            {
                Put(gdtf, "description.xml", Encoding.UTF8.GetBytes(Gdtf));
            }

            Put(zip, "head.gdtf", inner.ToArray());
        }

        return memory.ToArray();
    }

    private static void Put(ZipArchive zip, string name, byte[] bytes)
    {
        using var to = zip.CreateEntry(name).Open();
        to.Write(bytes);
    }

    /// <summary>The command as a user runs it: start-up, check, tables.</summary>
    private static (double Wall, double Cpu) Whole(string rig)
    {
        var before = ChildrenCpu();
        var start = Stopwatch.GetTimestamp();
        using var process = Process.Start(
            new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "stageview.dll"), "check", rig]) { RedirectStandardOutput = true })!;
        var said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0 || !said.Contains("2000 fixtures, 200 universes", StringComparison.Ordinal))
        {
            throw new InvalidOperationException($"check ended with {process.ExitCode}");
        }

        return (Stopwatch.GetElapsedTime(start).TotalSeconds, ChildrenCpu() - before);
    }

    /// <summary>CPU seconds of children that have ended: user and system time, the first two timevals of struct rusage (64-bit Linux).</summary>
    private static unsafe double ChildrenCpu()
    {
        const int Children = -1;
        var usage = stackalloc long[18];
        _ = GetUsage(Children, usage);
        return usage[0] + usage[2] + ((usage[1] + usage[3]) * 1e-6);
    }

    [DllImport("libc", EntryPoint = "getrusage")]
    private static extern unsafe int GetUsage(int who, long* usage);

    /// <summary>Median CPU seconds of this process, the first run left out.</summary>
    private static double Cpu(Action act, int runs)
    {
        act();
        var all = new double[runs];
        using var self = Process.GetCurrentProcess();
        for (var i = 0; i < runs; i++)
        {
            self.Refresh();
            var before = self.TotalProcessorTime;
            act();
            self.Refresh();
            all[i] = Math.Max(1e-6, (self.TotalProcessorTime - before).TotalSeconds);
        }

        Array.Sort(all);
        return all[runs / 2];
    }
}
