using System.Text;
using StageView.Light.Cautions.Lasers.Ilda;
using StageView.Light.Photometry.Eulumdat;
using StageView.Light.Photometry.Ies;
using StageView.Rig.Assets;
using StageView.Rig.ModelReaders;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Stage.Cues;
using StageView.Stage.Looks;

namespace StageView.Fuzz;

/// <summary>The files that a rig is made of. XML is fuzzed by itself, too: an archive whose text is changed is refused for its checksum.</summary>
internal static class RigTargets
{
    private static readonly Lazy<RigFiles> s_files = new(() => new RigFiles());

    private static readonly Lazy<RigScene> s_rig = new(() => Load(s_files.Value.Put("s.rig.jsonc", RigFiles.Seeds("rig")[0]))
        ?? throw new InvalidOperationException("the seed's rig doesn't load"));

    public static IReadOnlyDictionary<string, FuzzTarget> All { get; } = new Dictionary<string, FuzzTarget>
    {
        ["gdtf"] = new(() => RigFiles.Seeds("gdtf"), xml => Gdtf(RigFiles.Zip(("description.xml", xml)))),
        ["gdtf-archive"] = new(GdtfArchives, Gdtf),
        ["mvr"] = new(() => RigFiles.Seeds("mvr"), xml => Mvr(Scene(xml))),
        ["mvr-archive"] = new(() => [Scene(RigFiles.Seeds("mvr")[0])], Mvr),
        ["rig"] = new(() => RigFiles.Seeds("rig"), json => Load(s_files.Value.Put("a.rig.jsonc", json))) { MakeWords = Schemas },
        ["venue"] = new(() => RigFiles.Seeds("venue"), Venue) { MakeWords = Schemas },
        ["profile"] = new(Profiles, Profile) { MakeWords = Schemas },
        ["look"] = new(() => WithRig("look"), json => LookFile.Read(s_rig.Value, Encoding.UTF8.GetString(json), [])) { MakeWords = Schemas },
        ["cues"] = new(() => WithRig("cues"), Cues) { MakeWords = Schemas },
        ["glb"] = new(() => [ModelSeeds.Glb(RigFiles.Seeds("gltf")[0])], bytes => Model(bytes, "glb")),
        ["gltf"] = new(() => RigFiles.Seeds("gltf"), bytes => Model(bytes, "gltf")),
        ["3ds"] = new(() => [ModelSeeds.Tds()], bytes => Model(bytes, "3ds")),
        ["obj"] = new(() => RigFiles.Seeds("obj"), bytes => ObjReader.TryRead(bytes, "m.obj", out _)),
        ["ies"] = new(() => RigFiles.Seeds("ies"), bytes => IesReader.TryParse(bytes, "w.ies", out _, out _)),
        ["ldt"] = new(() => RigFiles.Seeds("ldt"), bytes => EulumdatReader.TryParse(bytes, "w.ldt", out _, out _)),
        ["ilda"] = new(() => [ModelSeeds.Ilda()], bytes => IldaReader.TryParse(bytes, out _, out _)),
    };

    /// <summary>Assemblies in which ways are counted.</summary>
    public static IReadOnlyList<string> Instrumented { get; } = ["StageView.Rig", "StageView.Light", "StageView.Stage", "StageView.Ground"];

    /// <summary>Types of them that read what comes from outside; of the others only the reading would be slower.</summary>
    public static bool IsCounted(string type) =>
        type.StartsWith("StageView.Rig.", StringComparison.Ordinal) || type.StartsWith("StageView.Light.Photometry.", StringComparison.Ordinal)
        || type.StartsWith("StageView.Light.Cautions.Lasers.Ilda.", StringComparison.Ordinal)
        || type.StartsWith("StageView.Stage.Cues.", StringComparison.Ordinal) || type.StartsWith("StageView.Stage.Looks.", StringComparison.Ordinal)
        || type.StartsWith("StageView.Stage.Levels.", StringComparison.Ordinal)
        || type.StartsWith("StageView.Ground.Files.", StringComparison.Ordinal);

    // The rig is read before: its ways are not the input's.
    private static List<byte[]> WithRig(string folder)
    {
        _ = s_rig.Value;
        return RigFiles.Seeds(folder);
    }

    private static RigScene? Load(string path, string? venue = null)
    {
        var options = new RigLoadOptions { ProfileFolders = [Path.GetDirectoryName(path)!], Venue = venue, DecodeImage = Picture };
        var loads = RigLoader.TryLoad(path, options, out var rig, out var problems);
        foreach (var p in problems)
        {
            _ = p.ToString();
        }

        if (!loads && !problems.Any(p => p.Severity == ProblemSeverity.Error))
        {
            throw new InvalidOperationException("refused without a word");
        }

        return rig;
    }

    // A picture that stands for all: decoders are other people's code.
    private static bool Picture(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why)
    {
        (size, why) = (file.IsEmpty ? 0 : 4, file.IsEmpty ? "it is empty" : "");
        rgb = new byte[3 * size * size];
        return size > 0;
    }

    private static void Gdtf(byte[] archive)
    {
        var files = s_files.Value;
        files.Put("x.gdtf", archive);
        Load(files.Put("x.rig.jsonc", "{ \"hangs\": [{ \"name\": \"x\", \"profile\": \"x.gdtf\", \"patch\": \"1.1\" }] }"u8.ToArray()));
    }

    private static void Mvr(byte[] archive)
    {
        var files = s_files.Value;
        var folder = files["imported"];
        try
        {
            if (MvrImporter.TryImport(files.Put("x.mvr", archive), folder, out var report, out var problem) && Load(report.RigFile) is { } rig)
            {
                MvrExporter.Export(rig, Stream.Null);
            }

            _ = problem?.ToString();
        }
        finally
        {
            if (Directory.Exists(folder))
            {
                Directory.Delete(folder, recursive: true);
            }
        }
    }

    private static void Venue(byte[] json)
    {
        var rig = s_files.Value["v.rig.jsonc"];
        if (!File.Exists(rig))
        {
            s_files.Value.Put("v.rig.jsonc", RigFiles.Seeds("rig")[0]);
        }

        Load(rig, s_files.Value.Put("v.venue.jsonc", json));
    }

    private static void Profile(byte[] json)
    {
        s_files.Value.Put("y.fixture.jsonc", json);
        Load(s_files.Value.Put("y.rig.jsonc", "{ \"hangs\": [{ \"name\": \"y\", \"profile\": \"y\", \"patch\": \"1.1\" }] }"u8.ToArray()));
    }

    private static void Cues(byte[] json)
    {
        CueFile.NamedTimes(json, "cues", ["pictures", "cues"], out _);
        if (CueFile.TryRead(s_rig.Value, json, "cues", out var problems) is null && !problems.Any(p => p.Severity == ProblemSeverity.Error))
        {
            throw new InvalidOperationException("refused without a word");
        }
    }

    private static void Model(byte[] bytes, string extension)
    {
        var around = new ModelContext(_ => bytes, Picture, _ => { });
        if (ModelFiles.TryRead(bytes, extension, "m", out var why, around) is null && why.Length == 0)
        {
            throw new InvalidOperationException("refused without a word");
        }
    }

    private static List<byte[]> Profiles() => OfCheckout("fixtures");

    private static List<byte[]> Schemas() => OfCheckout("schema");

    private static List<byte[]> OfCheckout(string folder) =>
        [.. Directory.EnumerateFiles(Path.Combine("assets", folder)).Order(StringComparer.Ordinal).Select(File.ReadAllBytes)];

    private static List<byte[]> GdtfArchives()
    {
        var glb = ModelSeeds.Glb(RigFiles.Seeds("gltf")[0]);
        return
        [
            RigFiles.Zip(("description.xml", RigFiles.Seeds("gdtf")[0]), ("models/gltf/head.glb", glb), ("models/3ds/yoke.3ds", ModelSeeds.Tds()),
                ("wheels/dots.png", [1, 2, 3])),
        ];
    }

    private static byte[] Scene(byte[] xml) => RigFiles.Zip(
        ("GeneralSceneDescription.xml", xml), ("head.gdtf", RigFiles.Zip(("description.xml", RigFiles.Seeds("gdtf")[0]))),
        ("Universal.gdtt", RigFiles.Zip(("description.xml", RigFiles.Seeds("gdtf")[0]), ("wheels/dots.png", RigFiles.Png))), ("a.png", RigFiles.Png),
        ("p.fixture.jsonc", RigFiles.ProfileFile),
        ("box.glb", ModelSeeds.Glb(RigFiles.Seeds("gltf")[0])), ("tri.3ds", ModelSeeds.Tds()));
}
