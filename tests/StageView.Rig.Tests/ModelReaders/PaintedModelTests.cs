using System.Numerics;
using System.Runtime.InteropServices;
using System.Text;
using StageView.Light.Moments;
using StageView.Rig.Assets;
using StageView.Rig.ModelReaders;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Rig.Tests.Gdtf;
using StageView.Rig.Tests.Mvr;

namespace StageView.Rig.Tests.ModelReaders;

/// <summary>Base colour pictures of glTF files (glTF 2.0, sections 3.8 and 3.9); a picture that can't be had never costs the shape.</summary>
public sealed class PaintedModelTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    /// <summary>A square of 2 m in the glTF's XY plane, u along x, v downwards; its material as written.</summary>
    private static byte[] Square(string material, string more, string extra = "")
    {
        Vector3[] places = [new(-1, -1, 0), new(1, -1, 0), new(1, 1, 0), new(-1, 1, 0)];
        Vector2[] at = [new(0, 1), new(1, 1), new(1, 0), new(0, 0)];
        ushort[] corners = [0, 1, 2, 0, 2, 3];
        byte[] data = [.. MemoryMarshal.AsBytes(places.AsSpan()), .. MemoryMarshal.AsBytes(at.AsSpan()), .. MemoryMarshal.AsBytes(corners.AsSpan())];
        return Encoding.UTF8.GetBytes($$"""
            { "asset": { "version": "2.0" }, "scene": 0, "scenes": [ { "nodes": [0] } ], "nodes": [ { "mesh": 0 } ],
              "meshes": [ { "primitives": [ { "attributes": { "POSITION": 0, "TEXCOORD_0": 1 }, "indices": 2, "material": 0 } ] } ],
              "materials": [ {{material}} ], {{more}}
              "buffers": [ { "byteLength": {{data.Length}}, "uri": "data:application/octet-stream;base64,{{Convert.ToBase64String(data)}}" } ],
              "bufferViews": [ { "buffer": 0, "byteLength": 48 }, { "buffer": 0, "byteOffset": 48, "byteLength": 32 },
                { "buffer": 0, "byteOffset": 80, "byteLength": 12 } ],
              "accessors": [ { "bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3", "min": [-1, -1, 0], "max": [1, 1, 0] },
                { "bufferView": 1, "componentType": 5126, "count": 4, "type": "VEC2" },
                { "bufferView": 2, "componentType": 5123, "count": 6, "type": "SCALAR" } ] {{extra}} }
            """);
    }

    private static byte[] With(string uri, string factor = "") => Square(
        $"{{ \"pbrMetallicRoughness\": {{ \"baseColorTexture\": {{ \"index\": 0 }} {factor} }} }}",
        $"\"textures\": [ {{ \"source\": 0 }} ], \"images\": [ {{ \"uri\": \"{uri}\" }} ],");

    /// <summary>Stands for a picture: its first byte is how red it is on the left, its second how green on the right.</summary>
    private static bool Decode(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why)
    {
        size = 2;
        rgb = file.Length < 2 ? [] : [file.Span[0], 0, 0, 0, file.Span[1], 0, file.Span[0], 0, 0, 0, file.Span[1], 0];
        why = file.Length < 2 ? "too short" : "";
        return file.Length >= 2;
    }

    private static SceneMesh Read(byte[] model, Func<string, byte[]?>? beside, out List<string> told)
    {
        var list = told = [];
        var mesh = ModelFiles.TryRead(model, "gltf", "m", out var why, new ModelContext(beside, Decode, list.Add));
        Assert.True(mesh is not null, why);
        return mesh;
    }

    [Fact]
    public void A_picture_lies_on_the_mesh_where_its_coordinates_say()
    {
        var mesh = Read(With("a.png"), name => name == "a.png" ? [200, 100] : null, out var told);
        Assert.Empty(told);
        var paint = mesh.Paint!;
        Assert.Equal((4, 2, 1), (mesh.Positions.Length, paint.Size, paint.Count));

        // The top right corner (x = 1; glTF's y is up here too) has u = 1, v = 0.
        var top = Array.FindIndex(mesh.Positions, p => p is { X: > 0, Z: > 0 });
        Assert.Equal(new Vector3(1, 0, 0), paint.At[top]);
        Assert.Equal(new Vector3(200 / 255f, 0, 0), paint.Sample(new(.25f, .5f, 0)));
        Assert.Equal(new Vector3(0, 100 / 255f, 0), paint.Sample(new(.75f, .5f, 0)));

        // Repeating, as glTF's samplers do where nothing is said.
        Assert.Equal(paint.Sample(new(.75f, .5f, 0)), paint.Sample(new(-.25f, 2.5f, 0)));
        Assert.True(Vector3.Distance(new(100 / 255f, 50 / 255f, 0), paint.Mean) < .01f, paint.Mean.ToString());
    }

    [Fact]
    public void A_factor_tints_the_picture()
    {
        var mesh = Read(With("a.png", ", \"baseColorFactor\": [0.5, 1, 1, 1]"), _ => [200, 100], out _);
        Assert.True(Vector3.Distance(new(50 / 255f, 50 / 255f, 0), mesh.Paint!.Mean) < .01f, mesh.Paint.Mean.ToString());
    }

    public static TheoryData<string, string, string> Without => new()
    {
        { "gone.png", "", "its picture gone.png is not there; it is drawn without" },
        { "short.png", "", "its picture short.png can't be used: too short; it is drawn without" },
        { "data:image/png;base64,!!", "", "its picture image 0 is not there" },
        { "gone.bmp", "", "its picture gone.bmp is not there" },
        { "a.png", ", \"extensionsUsed\": [\"KHR_texture_basisu\"], \"extensionsRequired\": [\"KHR_texture_basisu\"]", "KHR_texture_basisu is not used" },
    };

    [Theory]
    [MemberData(nameof(Without))]
    public void A_picture_that_can_not_be_had_leaves_the_shape(string uri, string extra, string says)
    {
        var model = Encoding.UTF8.GetBytes(Encoding.UTF8.GetString(With(uri)).TrimEnd()[..^1] + extra + " }");
        var mesh = Read(model, name => name switch { "short.png" => [1], "a.png" => [1, 2], _ => null }, out var told);
        Assert.Equal(6, mesh.Indices.Length);
        Assert.Contains(told, t => t.Contains(says, StringComparison.Ordinal));

        // Nor does a model that may open nothing at all.
        Assert.NotNull(ModelFiles.TryRead(model, "gltf", "m", out _));
    }

    /// <summary>Other extensions change the shape: they stay refused.</summary>
    [Fact]
    public void A_required_extension_of_the_shape_is_refused()
    {
        var model = Encoding.UTF8.GetBytes(Encoding.UTF8.GetString(With("a.png")).TrimEnd()[..^1]
            + ", \"extensionsUsed\": [\"KHR_draco_mesh_compression\"], \"extensionsRequired\": [\"KHR_draco_mesh_compression\"] }");
        Assert.Null(ModelFiles.TryRead(model, "gltf", "m", out var why));
        Assert.Contains("KHR_draco_mesh_compression", why, StringComparison.Ordinal);
    }

    private RigScene Load(string path, out IReadOnlyList<RigProblem> problems)
    {
        Assert.True(RigLoader.TryLoad(path, new RigLoadOptions { DecodeImage = Decode }, out var rig, out problems), string.Join('\n', problems));
        return rig;
    }

    /// <summary>Named with folders, percent-encoded, in another case: found beside the model; what is written as albedo scales it.</summary>
    [Theory]
    [InlineData("a.png", "a.png")]
    [InlineData("maps/a.png", "maps/a.png")]
    [InlineData("maps/my%20wall.png", "maps/my wall.png")]
    [InlineData("A.PNG", "a.png")]
    public void Scenery_finds_its_pictures(string uri, string file)
    {
        _temp.Write("set/m.gltf", Encoding.UTF8.GetString(With(uri)));
        _temp.Write("set/" + file, "");
        File.WriteAllBytes(Path.Combine(_temp.Folder, "set", file), [200, 100]);
        var path = _temp.Write("a.rig.jsonc", "{ \"scenery\": [ { \"name\": \"a\", \"shape\": \"model\", \"file\": \"set/m.gltf\" }, "
            + "{ \"name\": \"b\", \"shape\": \"model\", \"file\": \"set/m.gltf\", \"albedo\": 0.5 } ] }");
        var rig = Load(path, out var problems);
        Assert.Empty(problems);
        var mean = rig.Meshes[rig.Scenery[0].Mesh].Paint!.Mean;
        Assert.Equal(mean, rig.Scenery[0].Albedo);
        Assert.Equal(.5f * mean, rig.Scenery[1].Albedo);
        Assert.Contains(rig.Files, f => f.FullPath.EndsWith(Path.GetFileName(file), StringComparison.Ordinal));

        // Without the picture the piece is there all the same, and it is said.
        File.Delete(Path.Combine(_temp.Folder, "set", file));
        var bare = Load(path, out problems);
        Assert.Null(bare.Meshes[bare.Scenery[0].Mesh].Paint);
        Assert.Contains(problems, p => p.Text.Contains("it is drawn without", StringComparison.Ordinal) && p.Path == "$.scenery[0].file");
    }

    /// <summary>In an MVR archive pictures lie at the root or with the models (DIN SPEC 15801); the import takes them along.</summary>
    [Theory]
    [InlineData("m.gltf", "a.png", "a.png")]
    [InlineData("m.gltf", "maps/a.png", "maps/a.png")]
    [InlineData("m.gltf", "maps/a.png", "a.png")]
    [InlineData("models/m.gltf", "a.png", "models/a.png")]
    [InlineData("models/m.gltf", "a.png", "a.png")]
    [InlineData("m.gltf", "my%20wall.png", "my wall.png")]
    [InlineData("m.gltf", "my%20wall.png", "my%20wall.png")]
    [InlineData("m.gltf", "A.png", "a.png")]
    public void An_import_takes_pictures_along(string model, string uri, string entry)
    {
        var report = MvrFile.Import(_temp, MvrFile.Of($"<Layers><Layer><ChildList><SceneObject name=\"o\"><Geometries><Geometry3D fileName=\"{model}\"/>"
            + "</Geometries></SceneObject></ChildList></Layer></Layers>", (model, With(uri)), (entry, [200, 100])), "show");
        Assert.DoesNotContain(report.Notes, n => n.Contains("picture", StringComparison.Ordinal));
        var rig = Load(report.RigFile, out var problems);
        Assert.Empty(problems);
        Assert.NotNull(rig.Meshes[Assert.Single(rig.Scenery).Mesh].Paint);
    }

    [Theory]
    [InlineData("gone.png", "its picture gone.png is not there; it is drawn without")]
    [InlineData("../up.png", "its picture ../up.png lies outside the model's folder; it is drawn without")]
    public void An_import_without_the_picture_keeps_the_piece(string uri, string says)
    {
        var report = MvrFile.Import(_temp, MvrFile.Of("<Layers><Layer><ChildList><SceneObject name=\"o\"><Geometries><Geometry3D fileName=\"m.gltf\"/>"
            + "</Geometries></SceneObject></ChildList></Layer></Layers>", ("m.gltf", With(uri)), ("up.png", [200, 100])), "show");
        Assert.Contains(report.Notes, n => n.Contains(says, StringComparison.Ordinal));
        Assert.Single(Load(report.RigFile, out _).Scenery);
    }

    /// <summary>A GDTF model's pictures, in its folder of the archive.</summary>
    [Fact]
    public void A_fixtures_model_has_its_picture()
    {
        var glb = Glb(Encoding.UTF8.GetString(With("skin.png")));
        File.WriteAllBytes(Path.Combine(_temp.Folder, "t.gdtf"), ArchiveMaker.Gdtf(ArchiveMaker.Description("<Geometry Name=\"Base\" Model=\"M\"/>", "",
            "<Models><Model Name=\"M\" Length=\"1\" Width=\"1\" Height=\"1\" File=\"m\"/></Models>"), ("models/gltf/m.glb", glb),
            ("models/gltf/skin.png", [200, 100])));
        var rig = Load(_temp.Write("a.rig.jsonc", "{ \"profiles\": [\".\"], \"hangs\": [ { \"name\": \"a\", \"profile\": \"t\" } ] }"), out _);
        Assert.NotNull(rig.Meshes[rig.Fixtures[0].Mode.Geometry[0].Body!.Mesh].Paint);
        Assert.Empty(rig.Fixtures[0].Profile.NotUnderstood);
    }

    /// <summary>A GLB of one JSON chunk (glTF 2.0, section 4.4).</summary>
    private static byte[] Glb(string json)
    {
        json = json.PadRight((json.Length + 3) / 4 * 4);
        return [.. "glTF"u8, .. BitConverter.GetBytes(2), .. BitConverter.GetBytes(20 + json.Length), .. BitConverter.GetBytes(json.Length), .. "JSON"u8,
            .. Encoding.ASCII.GetBytes(json)];
    }
}
