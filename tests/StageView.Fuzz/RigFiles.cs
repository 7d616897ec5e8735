using System.IO.Compression;
using System.Text;

namespace StageView.Fuzz;

/// <summary>Files around an input of the rig's targets, in a folder that goes with the process.</summary>
internal sealed class RigFiles
{
    /// <summary>A fixture that moves, colours, and has pixels.</summary>
    private const string Profile = """
        { "name": "P", "weight": 10, "power": 300,
          "wheels": [{ "name": "Gobos", "slots": [{ "name": "Open" }, { "name": "Dots", "gobo": "dots" }] },
            { "name": "Colours", "slots": [{ "name": "Open" }, { "name": "Red", "colour": "#ff0000" }] }],
          "geometry": [{ "name": "base", "body": { "shape": "box", "size": [0.3, 0.3, 0.1] },
            "parts": [{ "name": "yoke", "axis": { "motion": "pan", "speed": 180 }, "parts": [{ "name": "head", "axis": { "motion": "tilt", "speed": 180 },
              "parts": [{ "name": "lens", "beam": { "kind": "spot", "flux": 10000, "beamAngle": 10, "fieldAngle": 12 } },
                { "name": "cells", "pixels": { "columns": 4, "rows": 2, "size": [0.4, 0.2], "luminance": 5000 } }] }] }] }],
          "modes": [
            { "name": "M", "channels": [
              { "attribute": "Pan", "geometry": "yoke", "bits": "16", "default": 128, "physical": [-270, 270] },
              { "attribute": "Tilt", "geometry": "head", "bits": "16", "default": 128, "physical": [-135, 135] },
              { "attribute": "Dimmer", "geometry": "lens" }, { "attribute": "ColorAdd_R", "geometry": "lens" },
              { "attribute": "Gobo1", "geometry": "lens", "wheel": "Gobos" }, { "attribute": "Color1", "geometry": "lens", "wheel": "Colours" },
              { "attribute": "Zoom", "geometry": "lens", "physical": [5, 40] } ] },
            { "name": "Pix", "channels": [{ "attribute": "Dimmer", "geometry": "cells" }], "pixels": [{ "geometry": "cells", "order": "RGB" }] } ] }
        """;

    private readonly string _folder;

    /// <summary>The same as a file.</summary>
    public static byte[] ProfileFile => Encoding.UTF8.GetBytes(Profile);

    /// <summary>The head of a PNG file of 4 by 2 pixels.</summary>
    public static byte[] Png => [0x89, .. "PNG"u8, 13, 10, 26, 10, 0, 0, 0, 13, .. "IHDR"u8, 0, 0, 0, 4, 0, 0, 0, 2, 8, 2, 0, 0, 0, 0, 0, 0, 0];

    public RigFiles()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-fuzz-");
        AppDomain.CurrentDomain.ProcessExit += (_, _) => folder.Delete(recursive: true);
        _folder = folder.FullName;
        Put("p.fixture.jsonc", ProfileFile);
        Put("g.gdtf", Zip(("description.xml", Seed("gdtf", "head.xml"))));
        Put("m.gltf", Seed("gltf", "square.gltf"));
        Put("more.rig.jsonc", "{ \"focusPoints\": [{ \"name\": \"other\", \"at\": [1, 2, 3] }] }"u8.ToArray());
        Put("w.ies", Seed("ies", "small.ies"));
        Put("w.ldt", Seed("ldt", "small.ldt"));
        Put("f.ild", ModelSeeds.Ilda());
    }

    public string this[string name] => Path.Combine(_folder, name);

    /// <summary>The seeds that lie in a folder beside the program.</summary>
    public static List<byte[]> Seeds(string folder) =>
        [.. Directory.EnumerateFiles(Path.Combine(AppContext.BaseDirectory, "seeds", folder)).Order(StringComparer.Ordinal).Select(File.ReadAllBytes)];

    public static byte[] Zip(params (string Name, byte[] Bytes)[] entries)
    {
        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var (name, bytes) in entries)
            {
                using var to = zip.CreateEntry(name, CompressionLevel.NoCompression).Open();
                to.Write(bytes);
            }
        }

        return memory.ToArray();
    }

    public string Put(string name, byte[] bytes)
    {
        File.WriteAllBytes(this[name], bytes);
        return this[name];
    }

    private static byte[] Seed(string folder, string name) => File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "seeds", folder, name));
}
