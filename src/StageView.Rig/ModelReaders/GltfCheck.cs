using System.Buffers.Binary;
using System.Globalization;
using System.Text.Json;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// Looks a glTF file over before it is read: its container, and what its nodes, accessors and buffers say of each other. Bounded by nodes, levels,
/// values and triangles, which a few bytes can ask for without end. Places are written as in the file: <c>nodes[3].children[0]</c>.
/// </summary>
internal static class GltfCheck
{
    public const int MaxNodes = 20_000;
    public const int MaxLevels = 64;

    /// <summary>Values of the JSON part: a scene of 20,000 nodes with meshes of their own has some 600,000.</summary>
    public const int MaxValues = 1_000_000;

    private const uint Glb = 0x46546C67;
    private const uint JsonChunk = 0x4E4F534A;

    /// <param name="bytes">The whole file.</param>
    /// <param name="triangles">How many it asks for in all.</param>
    /// <param name="isBeside">Whether a file that it refers to is there.</param>
    /// <returns>What is wrong, or empty.</returns>
    public static string Look(ReadOnlySpan<byte> bytes, out int triangles, Func<string, bool> isBeside)
    {
        triangles = 0;
        var json = bytes;
        if (bytes.Length >= 4 && BinaryPrimitives.ReadUInt32LittleEndian(bytes) == Glb && Unpack(bytes, out json) is { Length: > 0 } broken)
        {
            return broken;
        }

        try
        {
            if (TooMuch(json) is { Length: > 0 } much)
            {
                return much;
            }

            var text = json.ToArray();
            using var document = JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = MaxLevels });
            var tables = new Tables(document.RootElement, isBeside);
            var wrong = tables.Look();
            triangles = (int)Math.Min(ModelFiles.MaxTriangles, tables.Triangles);
            return wrong;
        }
        catch (JsonException e)
        {
            return string.Create(CultureInfo.InvariantCulture,
                $"its JSON part is not valid: line {(e.LineNumber ?? 0) + 1}, byte {(e.BytePositionInLine ?? 0) + 1}");
        }
        catch (InvalidOperationException)
        {
            // Every value is asked for its kind first: only a text that isn't Unicode is left.
            return "its JSON part holds a text that is not valid UTF-8";
        }
    }

    private static string Unpack(ReadOnlySpan<byte> bytes, out ReadOnlySpan<byte> json)
    {
        json = default;
        if (bytes.Length < 20)
        {
            return string.Create(CultureInfo.InvariantCulture, $"it ends after {bytes.Length} bytes, within its header");
        }

        var version = BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]);
        var length = BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]);
        var chunk = BinaryPrimitives.ReadUInt32LittleEndian(bytes[12..]);
        if (version != 2)
        {
            return string.Create(CultureInfo.InvariantCulture, $"its container has version {version}; 2 is read");
        }

        if (length > bytes.Length || chunk > bytes.Length - 20)
        {
            return string.Create(CultureInfo.InvariantCulture,
                $"it was cut short: {length} bytes are stated, {chunk} of them JSON, and {bytes.Length} are there");
        }

        if (BinaryPrimitives.ReadUInt32LittleEndian(bytes[16..]) != JsonChunk)
        {
            return "its first chunk is not JSON";
        }

        json = bytes.Slice(20, (int)chunk);
        return "";
    }

    private static string TooMuch(ReadOnlySpan<byte> json)
    {
        var reader = new Utf8JsonReader(json, new JsonReaderOptions { MaxDepth = MaxLevels + 1 });
        for (var values = 0; reader.Read();)
        {
            if (reader.CurrentDepth >= MaxLevels)
            {
                return string.Create(CultureInfo.InvariantCulture, $"its JSON part is nested deeper than {MaxLevels} levels");
            }

            if (reader.TokenType is not (JsonTokenType.PropertyName or JsonTokenType.EndObject or JsonTokenType.EndArray) && ++values > MaxValues)
            {
                return string.Create(CultureInfo.InvariantCulture, $"its JSON part holds more than {MaxValues} values, which is the most that is read");
            }
        }

        return "";
    }

    /// <summary>What the parts of a file say of each other.</summary>
    private sealed class Tables(JsonElement root, Func<string, bool> isBeside)
    {
        private readonly List<JsonElement> _nodes = All(root, "nodes");
        private readonly List<JsonElement> _meshes = All(root, "meshes");
        private readonly List<JsonElement> _accessors = All(root, "accessors");
        private readonly List<JsonElement> _views = All(root, "bufferViews");
        private readonly List<JsonElement> _buffers = All(root, "buffers");

        /// <summary>Of all nodes, once looked at.</summary>
        public long Triangles { get; private set; }

        public string Look()
        {
            if (root.ValueKind != JsonValueKind.Object)
            {
                return "its JSON part is no object";
            }

            var odd = NoObject("nodes", _nodes) ?? NoObject("meshes", _meshes) ?? NoObject("accessors", _accessors) ?? NoObject("bufferViews", _views)
                ?? NoObject("buffers", _buffers);
            if (odd is not null)
            {
                return odd;
            }

            if (_nodes.Count > MaxNodes)
            {
                return string.Create(CultureInfo.InvariantCulture, $"nodes holds {_nodes.Count}: at most {MaxNodes} are read");
            }

            for (var i = 0; i < _buffers.Count; i++)
            {
                var uri = Text(_buffers[i], "uri");
                if (uri.Length > 0 && !uri.StartsWith("data:", StringComparison.Ordinal) && !isBeside(uri))
                {
                    return string.Create(CultureInfo.InvariantCulture, $"buffers[{i}] refers to another file, {Short(uri)}, which is not there to be read");
                }
            }

            for (var i = 0; i < _views.Count; i++)
            {
                if (View(_views[i], i) is { Length: > 0 } wrong)
                {
                    return wrong;
                }
            }

            return Accessors() is { Length: > 0 } accessor ? accessor
                : MeshTriangles(out var triangles) is { Length: > 0 } mesh ? mesh : Walk(triangles);
        }

        private string View(JsonElement view, int i)
        {
            var buffer = Number(view, "buffer", -1);
            if (buffer < 0 || buffer >= _buffers.Count)
            {
                return Missing($"bufferViews[{i}].buffer", buffer, _buffers.Count);
            }

            var end = Number(view, "byteOffset", 0) + Number(view, "byteLength", 0);
            var length = Number(_buffers[(int)buffer], "byteLength", 0);
            return end <= length ? ""
                : string.Create(CultureInfo.InvariantCulture, $"bufferViews[{i}] ends at byte {end} of buffers[{buffer}], which holds {length}");
        }

        private string Accessors()
        {
            for (var i = 0; i < _accessors.Count; i++)
            {
                if (!_accessors[i].TryGetProperty("bufferView", out _))
                {
                    continue;
                }

                var view = Number(_accessors[i], "bufferView", -1);
                if (view < 0 || view >= _views.Count)
                {
                    return Missing($"accessors[{i}].bufferView", view, _views.Count);
                }

                var size = Size(_accessors[i]);
                var stride = Math.Max(size, Number(_views[(int)view], "byteStride", 0));
                var count = Number(_accessors[i], "count", 0);
                var end = Number(_accessors[i], "byteOffset", 0) + (stride * (count - 1)) + size;
                var length = Number(_views[(int)view], "byteLength", 0);
                if (size == 0 || count < 1 || end > length)
                {
                    return string.Create(CultureInfo.InvariantCulture, $"accessors[{i}] needs {end} bytes of bufferViews[{view}], which holds {length}");
                }
            }

            return "";
        }

        /// <summary>Triangles of each mesh.</summary>
        private string MeshTriangles(out long[] triangles)
        {
            triangles = new long[_meshes.Count];
            for (var m = 0; m < _meshes.Count; m++)
            {
                var primitives = All(_meshes[m], "primitives");
                if (NoObject($"meshes[{m}].primitives", primitives) is { } odd)
                {
                    return odd;
                }

                for (var p = 0; p < primitives.Count; p++)
                {
                    var named = primitives[p].TryGetProperty("indices", out _) ? Number(primitives[p], "indices", -1)
                        : primitives[p].TryGetProperty("attributes", out var a) ? Number(a, "POSITION", -1) : -1;
                    if (named >= _accessors.Count || (named < 0 && primitives[p].TryGetProperty("indices", out _)))
                    {
                        return Missing($"meshes[{m}].primitives[{p}]", named, _accessors.Count);
                    }

                    triangles[m] += named < 0 ? 0 : Number(_accessors[(int)named], "count", 0) / (Number(primitives[p], "mode", 4) == 4 ? 3 : 1);
                }
            }

            return "";
        }

        /// <summary>From the roots down: each node under one other, and neither too deep nor too many triangles.</summary>
        private string Walk(long[] triangles)
        {
            var parent = new int[_nodes.Count];
            Array.Fill(parent, -1);
            for (var n = 0; n < _nodes.Count; n++)
            {
                var children = All(_nodes[n], "children");
                for (var c = 0; c < children.Count; c++)
                {
                    var child = children[c].ValueKind == JsonValueKind.Number && children[c].TryGetInt32(out var k) ? k : -1;
                    if (child < 0 || child >= _nodes.Count)
                    {
                        return Missing($"nodes[{n}].children[{c}]", child, _nodes.Count);
                    }

                    if (parent[child] >= 0)
                    {
                        return string.Create(CultureInfo.InvariantCulture, $"nodes[{child}] is a child of nodes[{parent[child]}] and of nodes[{n}]");
                    }

                    parent[child] = n;
                }
            }

            for (var n = 0; n < _nodes.Count; n++)
            {
                var levels = 1;
                for (var at = parent[n]; at >= 0; at = parent[at])
                {
                    if (++levels > MaxLevels)
                    {
                        return string.Create(CultureInfo.InvariantCulture, $"nodes[{n}] lies deeper than {MaxLevels} levels, or under itself");
                    }
                }

                var mesh = Number(_nodes[n], "mesh", -1);
                if (mesh >= _meshes.Count)
                {
                    return Missing($"nodes[{n}].mesh", mesh, _meshes.Count);
                }

                Triangles += mesh < 0 ? 0 : triangles[mesh];
                if (Triangles > ModelFiles.MaxTriangles)
                {
                    return string.Create(CultureInfo.InvariantCulture,
                        $"with nodes[{n}] it holds more than {ModelFiles.MaxTriangles} triangles, which is the most that is read");
                }
            }

            return "";
        }

        /// <summary>What is wrong where a list holds something that isn't an object, or null.</summary>
        private static string? NoObject(string list, List<JsonElement> all)
        {
            var at = all.FindIndex(e => e.ValueKind != JsonValueKind.Object);
            return at < 0 ? null : string.Create(CultureInfo.InvariantCulture, $"{list}[{at}] is no object");
        }

        private static List<JsonElement> All(JsonElement holder, string name) =>
            holder.ValueKind == JsonValueKind.Object && holder.TryGetProperty(name, out var list) && list.ValueKind == JsonValueKind.Array
                ? [.. list.EnumerateArray()] : [];

        /// <summary>A whole number of up to 2^53; the fallback where there is none.</summary>
        private static long Number(JsonElement holder, string name, long fallback) =>
            holder.ValueKind == JsonValueKind.Object && holder.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.Number
                && v.TryGetInt64(out var n) && Math.Abs(n) < 1L << 40 ? n : fallback;

        private static string Text(JsonElement holder, string name) =>
            holder.ValueKind == JsonValueKind.Object && holder.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.String ? v.GetString()! : "";

        private static int Size(JsonElement accessor)
        {
            var parts = Text(accessor, "type") switch { "SCALAR" => 1, "VEC2" => 2, "VEC3" => 3, "VEC4" or "MAT2" => 4, "MAT3" => 9, "MAT4" => 16, _ => 0 };
            return parts * Number(accessor, "componentType", 0) switch { 5120 or 5121 => 1, 5122 or 5123 => 2, 5125 or 5126 => 4, _ => 0 };
        }

        private static string Missing(string place, long named, int count) =>
            string.Create(CultureInfo.InvariantCulture, $"{place} names number {named}, but there are {count} (from 0)");

        private static string Short(string text) => text.Length <= 60 ? text : text[..57] + "...";
    }
}
