using System.Numerics;
using System.Text.Json.Nodes;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// Base colours of a glTF file (glTF 2.0, sections 3.8 and 3.9), read from its JSON before the library sees it: what only changes how a surface looks is taken
/// out, so that a picture which is missing, damaged or of an unknown kind never costs the shape.
/// </summary>
internal sealed class GltfMaterials
{
    /// <summary>Required extensions with these beginnings change no shape.</summary>
    private static readonly string[] OnlyLooks = ["KHR_materials_", "KHR_texture_", "EXT_texture_", "MSFT_texture_", "KHR_lights_"];

    private readonly List<GltfMaterial> _materials = [];
    private readonly List<GltfImage> _images = [];

    /// <summary>Required extensions that are passed over.</summary>
    public List<string> PassedOver { get; } = [];

    /// <summary>Required extensions that change the shape: without them the model can't be read.</summary>
    public List<string> Needed { get; } = [];

    public IReadOnlyList<GltfImage> Images => _images;

    public GltfMaterial Of(int material) => material >= 0 && material < _materials.Count ? _materials[material] : GltfMaterial.Plain;

    /// <summary>The same file without its materials' looks.</summary>
    public string TakeOut(string json)
    {
        if (JsonNode.Parse(json) is not JsonObject root)
        {
            return json;
        }

        foreach (var i in Objects(root["images"]))
        {
            _images.Add(new GltfImage(Text(i["uri"]), Number(i["bufferView"])));
        }

        var sources = Objects(root["textures"]).Select(Source).ToList();
        if (root["materials"] is JsonArray materials)
        {
            foreach (var m in Objects(materials))
            {
                _materials.Add(Read(m, sources));
            }

            root["materials"] = new JsonArray([.. materials.Select(_ => (JsonNode)new JsonObject())]);
        }

        foreach (var key in (string[])["textures", "images", "samplers"])
        {
            root.Remove(key);
        }

        if (root["extensionsRequired"] is JsonArray required)
        {
            PassedOver.AddRange(required.Select(Text).Where(e => OnlyLooks.Any(p => e.StartsWith(p, StringComparison.Ordinal))));
            Needed.AddRange(required.Select(Text).Except(PassedOver));
            root.Remove("extensionsRequired");
            if (Needed.Count > 0)
            {
                root["extensionsRequired"] = new JsonArray([.. Needed.Select(e => (JsonNode?)JsonValue.Create(e))]);
            }
        }

        return root.ToJsonString();
    }

    private static GltfMaterial Read(JsonObject material, List<int> sources)
    {
        var rough = material["pbrMetallicRoughness"] as JsonObject;
        var gloss = material["extensions"]?["KHR_materials_pbrSpecularGlossiness"] as JsonObject;
        var texture = (rough?["baseColorTexture"] ?? gloss?["diffuseTexture"]) as JsonObject;
        var factor = (rough?["baseColorFactor"] ?? gloss?["diffuseFactor"]) as JsonArray;
        var index = texture is null ? -1 : Number(texture["index"]);
        var turn = texture?["extensions"]?["KHR_texture_transform"] as JsonObject;
        return new GltfMaterial(
            index >= 0 && index < sources.Count ? sources[index] : -1,
            Math.Max(0, Number(turn?["texCoord"] ?? texture?["texCoord"])),
            factor is { Count: >= 3 } ? Vector3.Clamp(new(Real(factor[0], 1), Real(factor[1], 1), Real(factor[2], 1)), Vector3.Zero, Vector3.One) : Vector3.One,
            Pair(turn?["offset"], Vector2.Zero), Pair(turn?["scale"], Vector2.One));
    }

    private static int Source(JsonObject texture) => Number(texture["source"]) is var plain && plain >= 0 ? plain
        : (texture["extensions"] as JsonObject)?.Select(e => Number((e.Value as JsonObject)?["source"])).DefaultIfEmpty(-1).Max() ?? -1;

    private static IEnumerable<JsonObject> Objects(JsonNode? list) => (list as JsonArray ?? []).Select(n => n as JsonObject ?? []);

    private static string Text(JsonNode? node) => node is JsonValue v && v.TryGetValue<string>(out var text) ? text : "";

    private static int Number(JsonNode? node) => node is JsonValue v && v.TryGetValue<int>(out var n) ? n : -1;

    private static float Real(JsonNode? node, float fallback) =>
        node is JsonValue v && v.TryGetValue<double>(out var n) && double.IsFinite(n) ? (float)n : fallback;

    private static Vector2 Pair(JsonNode? node, Vector2 fallback) =>
        node is JsonArray { Count: >= 2 } a ? new Vector2(Real(a[0], fallback.X), Real(a[1], fallback.Y)) : fallback;
}

/// <param name="Image">Its base colour's image, or -1.</param>
/// <param name="Coordinates">Which set of texture coordinates.</param>
/// <param name="Factor">Linear Rec.709, multiplied into the image.</param>
/// <param name="Offset">Added to the coordinates, after <paramref name="Scale"/>.</param>
/// <param name="Scale">Multiplied into the coordinates.</param>
internal sealed record GltfMaterial(int Image, int Coordinates, Vector3 Factor, Vector2 Offset, Vector2 Scale)
{
    public static GltfMaterial Plain { get; } = new(-1, 0, Vector3.One, Vector2.Zero, Vector2.One);
}

/// <param name="Uri">File or data, or empty.</param>
/// <param name="BufferView">Where it lies in the model's own buffers, or -1.</param>
internal sealed record GltfImage(string Uri, int BufferView);
