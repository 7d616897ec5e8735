using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Moments;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.ModelReaders;
using StageView.Rig.Profiles;
using StageView.Rig.Solids;

namespace StageView.Rig.Gdtf;

/// <summary>Reads the Models of a GDTF file: mesh files scaled to their box, primitives as plain shapes of ours.</summary>
internal sealed class GdtfModels
{
    private readonly SafeArchive _archive;
    private readonly RigAssets _assets;
    private readonly string _file;
    private readonly List<string> _notUnderstood;
    private readonly Dictionary<string, (SceneMesh? Mesh, string Why)> _meshes = new(StringComparer.Ordinal);
    private readonly ImageDecoder? _decode;

    public GdtfModels(SafeArchive archive, RigAssets assets, ImageDecoder? decode, string file, List<string> notUnderstood)
    {
        _decode = decode;
        _archive = archive;
        _assets = assets;
        _file = file;
        _notUnderstood = notUnderstood;
    }

    public Dictionary<string, GdtfModel> Read(XElement? models)
    {
        var read = new Dictionary<string, GdtfModel>(StringComparer.Ordinal);
        foreach (var m in models?.Elements("Model") ?? [])
        {
            var size = new Vector3(
                Extent(m, "Length", m.Attr("Lenght")), Extent(m, "Width", ""), Extent(m, "Height", ""));
            read.TryAdd(m.Attr("Name"), FromFile(m, size) ?? FromPrimitive(m.Attr("PrimitiveType", "Undefined"), size));
        }

        return read;
    }

    /// <summary>A picture that a model names, from the model's folder in the archive or wherever it lies.</summary>
    private byte[]? Beside(string model, string uri) =>
        (_archive.Find(model[..(model.LastIndexOf('/') + 1)] + uri) ?? _archive.Find(uri)) is { } found ? _archive.TryRead(found, out _) : null;

    /// <summary>A file name without folder and known ending.</summary>
    public static string Bare(string name, params string[] endings)
    {
        name = name.Replace('\\', '/');
        name = name[(name.LastIndexOf('/') + 1)..];
        var ending = Array.Find(endings, e => name.EndsWith("." + e, StringComparison.OrdinalIgnoreCase));
        return ending is null ? name : name[..^(ending.Length + 1)];
    }

    private static float Extent(XElement m, string name, string misspelt)
    {
        var v = GdtfValues.Number(m.Attr(name, misspelt), 0);
        return v is > 0 and < 1000 ? v : 0;
    }

    private GdtfModel? FromFile(XElement m, Vector3 size)
    {
        // Without a folder and an ending (DIN SPEC 15800, Model, File); files have both.
        var name = Bare(m.Attr("File"), "glb", "gltf", "3ds", "svg");
        if (name.Length == 0)
        {
            return null;
        }

        (string Folder, string Ending)[] places = [("gltf", "glb"), ("3ds", "3ds"), ("gltf_low", "glb"), ("3ds_low", "3ds"), ("gltf_high", "glb"),
            ("3ds_high", "3ds")];
        foreach (var (folder, extension) in places)
        {
            var exact = $"models/{folder}/{name}.{extension}";
            var entry = _archive.Has(exact) || places.Any(p => _archive.Has($"models/{p.Folder}/{name}.{p.Ending}")) ? exact : _archive.Find(exact) ?? exact;
            if (!_archive.Has(entry))
            {
                continue;
            }

            if (!_meshes.TryGetValue(entry, out var known))
            {
                var bytes = _archive.TryRead(entry, out var wrong);
                var read = bytes is null ? null : ModelFiles.TryRead(bytes, extension, entry, out wrong,
                    new ModelContext(uri => Beside(entry, uri), _decode, _notUnderstood.Add));
                _meshes[entry] = known = (read, wrong);
            }

            var (mesh, why) = known;
            if (mesh is not null && !_archive.Budget.Triangles(mesh.Indices.Length / 3))
            {
                (mesh, why) = (null, ArchiveBudget.TooManyTriangles);
            }

            if (mesh is null)
            {
                _notUnderstood.Add($"model {m.Attr("Name")}: {why}; a box is drawn");
                return null;
            }

            var scaled = MeshScaling.Fit(mesh, size);
            var index = _assets.Mesh($"{_file}:{entry}:{size}", () => scaled);
            return new GdtfModel(size, index, BodyShape.Mesh, Vector3.One, 0);
        }

        _notUnderstood.Add($"model {m.Attr("Name")}: no GLB or 3DS file named {name} in the archive; a plain shape is drawn");
        return null;
    }

    /// <summary>The standard's primitives are drawn as plain shapes that fill the same box: drawn, not measured.</summary>
    private GdtfModel FromPrimitive(string primitive, Vector3 size)
    {
        var s = Vector3.Max(size, new Vector3(.001f));
        return primitive switch
        {
            "Cylinder" => new(size, UnitMeshes.Cylinder, BodyShape.Cylinder, s, 0),
            "Sphere" => new(size, UnitMeshes.Sphere, BodyShape.Sphere, s, 0),
            "Head" => new(size, UnitMeshes.Cylinder, BodyShape.Cylinder, s, 0),
            "Yoke" => new(size, _assets.Mesh("yoke", YokeMesh.Make), BodyShape.Mesh, s, -size.Z / 2),
            "Base1_1" or "Conventional1_1" or "Scanner1_1" => new(size, UnitMeshes.Box, BodyShape.Box, s, -size.Z / 2),
            _ => new(size, UnitMeshes.Box, BodyShape.Box, s, 0),
        };
    }
}
