using StageView.Rig.Assets;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests;

public sealed class RigFilesTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Every_file_that_a_rig_is_read_from_is_listed_with_its_kind()
    {
        _temp.Write("a.rig.jsonc", """
            {
              "name": "t",
              "profiles": ["profiles"],
              "include": ["more/room.rig.jsonc"],
              "scenery": [{ "name": "idol", "shape": "model", "file": "idol.gltf" }],
              "hangs": [
                { "name": "own", "profile": "own", "photometry": "hung.ies", "patch": "1.1" },
                { "name": "other", "profile": "front-profile", "patch": "2.1" }
              ],
              "content": [{ "name": "clip", "file": "clip.mp4", "corner": [0, 0, 0], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100 }],
              "compare": [{ "frames": "*", "mask": "mask.png" }]
            }
            """);
        _temp.Write("more/room.rig.jsonc", """{ "name": "room" }""");
        _temp.Write("house.venue.jsonc", """{ "name": "house" }""");
        _temp.Write("mask.png", "");
        _temp.Write("idol.gltf", Triangle("idol.bin"));
        File.WriteAllBytes(Path.Combine(_temp.Folder, "idol.bin"), [.. ((float[])[0, 0, 0, 1, 0, 0, 0, 1, 0]).SelectMany(BitConverter.GetBytes)]);
        _temp.Write("profiles/own.fixture.jsonc", """
            {
              "name": "Own",
              "wheels": [{ "name": "Gobos", "slots": [{ "name": "Open" }, { "name": "Own", "gobo": "own.png" }] }],
              "geometry": [{ "name": "lens", "beam": { "photometry": "own.ies" } }],
              "modes": [{ "name": "One", "channels": [{ "attribute": "Dimmer" }] }]
            }
            """);
        _temp.Write("profiles/own.png", "x");
        const string Ies = "IESNA:LM-63-2002\n[TEST] 1\nTILT=NONE\n1 -1 1 3 1 1 2 0 0 0\n1 1 100\n0 45 90\n0\n9 9 9\n";
        _temp.Write("profiles/own.ies", Ies);
        _temp.Write("hung.ies", Ies);
        var options = TempRig.WithAssets with { Venue = Path.Combine(_temp.Folder, "house.venue.jsonc"), DecodeImage = White };
        Assert.True(RigLoader.TryLoad(Path.Combine(_temp.Folder, "a.rig.jsonc"), options, out var rig, out var problems), string.Join('\n', problems));

        (string Name, SourceFileKind Kind)[] wanted =
        [
            ("a.rig.jsonc", SourceFileKind.Rig), ("house.venue.jsonc", SourceFileKind.Venue), ("more/room.rig.jsonc", SourceFileKind.Include),
            ("idol.gltf", SourceFileKind.Model), ("idol.bin", SourceFileKind.Model), ("profiles/own.fixture.jsonc", SourceFileKind.Profile),
            ("profiles/own.png", SourceFileKind.Gobo), ("profiles/own.ies", SourceFileKind.Photometry), ("hung.ies", SourceFileKind.Photometry),
            ("mask.png", SourceFileKind.Mask), (Repo.File("assets", "fixtures", "front-profile.fixture.jsonc"), SourceFileKind.Profile),
        ];
        var found = rig.Files.Where(f => f.Found).Select(f => (f.FullPath, f.Kind)).ToList();
        Assert.Equal(wanted.Select(w => (Path.GetFullPath(Path.Combine(_temp.Folder, w.Name)), w.Kind)).Order(), found.Order());
        Assert.Equal(SourceFileKind.Rig, rig.Files[0].Kind);

        // Looked for, and not there: they count when they come.
        var missing = rig.Files.Where(f => !f.Found).ToList();
        Assert.Contains(new SourceFile(Path.Combine(_temp.Folder, "clip.mp4"), SourceFileKind.Content, false), missing);
        Assert.Contains(new SourceFile(Path.Combine(_temp.Folder, "front-profile.fixture.jsonc"), SourceFileKind.Profile, false), missing);
    }

    [Fact]
    public void A_rig_that_cant_be_used_tells_its_files_too()
    {
        var path = _temp.Write("a.rig.jsonc", """{ "name": "t", "include": ["late.rig.jsonc"] }""");
        Assert.False(RigLoader.TryLoad(path, RigLoadOptions.Default, out _, out _, out var files));
        Assert.Equal([new(path, SourceFileKind.Rig, true), new(Path.Combine(_temp.Folder, "late.rig.jsonc"), SourceFileKind.Include, false)], files);
    }

    private static bool White(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why)
    {
        (size, rgb, why) = (2, [.. Enumerable.Repeat((byte)255, 12)], "");
        return true;
    }

    private static string Triangle(string buffer) => $$"""
        {
          "asset": { "version": "2.0" }, "scene": 0, "scenes": [{ "nodes": [0] }], "nodes": [{ "mesh": 0 }],
          "meshes": [{ "primitives": [{ "attributes": { "POSITION": 0 } }] }],
          "accessors": [{ "bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3", "min": [0, 0, 0], "max": [1, 1, 0] }],
          "bufferViews": [{ "buffer": 0, "byteLength": 36 }],
          "buffers": [{ "uri": "{{buffer}}", "byteLength": 36 }]
        }
        """;
}
