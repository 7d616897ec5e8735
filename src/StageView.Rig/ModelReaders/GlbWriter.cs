using System.Buffers.Binary;
using System.IO.Compression;
using System.Numerics;
using System.Text.Json;
using StageView.Ground.Png;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// Writes a mesh with its pictures as binary glTF 2.0 (ISO/IEC 12113): metres, Z up becomes Y up, (x, y, z) → (x, z, -y); a material a picture, the pictures
/// inside as PNG in sRGB (IEC 61966-2-1).
/// </summary>
internal static class GlbWriter
{
    private const int ArrayBuffer = 34962;
    private const int ElementArrayBuffer = 34963;
    private const int Float = 5126;
    private const int UnsignedInt = 5125;
    private const int Repeat = 10497;

    /// <param name="mesh">With <see cref="SceneMesh.Paint"/>.</param>
    public static byte[] Write(SceneMesh mesh)
    {
        var paint = mesh.Paint ?? throw new ArgumentException("the mesh has no pictures", nameof(mesh));
        using var content = new MemoryStream();
        var views = new List<object>();
        int View(ReadOnlySpan<byte> bytes, int? target)
        {
            while (content.Length % 4 != 0)
            {
                content.WriteByte(0);
            }

            views.Add(target is { } t ? new { buffer = 0, byteOffset = content.Length, byteLength = bytes.Length, target = t }
                : new { buffer = 0, byteOffset = content.Length, byteLength = bytes.Length });
            content.Write(bytes);
            return views.Count - 1;
        }

        var positions = View(Floats(mesh.Positions.Select(Turned).SelectMany(p => new[] { p.X, p.Y, p.Z })), ArrayBuffer);
        var normals = View(Floats(mesh.Normals.Select(Turned).SelectMany(n => new[] { n.X, n.Y, n.Z })), ArrayBuffer);
        var corners = View(Floats(paint.At.SelectMany(a => new[] { a.X, a.Y })), ArrayBuffer);
        var (low, high) = (new Vector3(float.MaxValue), new Vector3(float.MinValue));
        foreach (var p in mesh.Positions.Select(Turned))
        {
            (low, high) = (Vector3.Min(low, p), Vector3.Max(high, p));
        }

        var count = mesh.Positions.Length;
        var accessors = new List<object>
        {
            new
            {
                bufferView = positions, componentType = Float, count, type = "VEC3",
                min = new[] { low.X, low.Y, low.Z }, max = new[] { high.X, high.Y, high.Z },
            },
            new { bufferView = normals, componentType = Float, count, type = "VEC3" },
            new { bufferView = corners, componentType = Float, count, type = "VEC2" },
        };
        var primitives = new List<object>();
        var images = new List<object>();
        for (var picture = 0; picture < paint.Count; picture++)
        {
            var indices = new List<int>();
            for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
            {
                if (Math.Clamp((int)paint.At[mesh.Indices[i]].Z, 0, paint.Count - 1) == picture)
                {
                    indices.AddRange(mesh.Indices[i..(i + 3)]);
                }
            }

            images.Add(new { bufferView = View(Png(paint, picture), null), mimeType = "image/png" });
            if (indices.Count == 0)
            {
                continue;
            }

            var view = View(Ints(indices), ElementArrayBuffer);
            accessors.Add(new { bufferView = view, componentType = UnsignedInt, count = indices.Count, type = "SCALAR" });
            primitives.Add(new
            {
                attributes = new Dictionary<string, int> { ["POSITION"] = 0, ["NORMAL"] = 1, ["TEXCOORD_0"] = 2 },
                indices = accessors.Count - 1,
                material = picture,
            });
        }

        while (content.Length % 4 != 0)
        {
            content.WriteByte(0);
        }

        var json = JsonSerializer.SerializeToUtf8Bytes(new
        {
            asset = new { version = "2.0", generator = "StageView" },
            scene = 0,
            scenes = new[] { new { nodes = new[] { 0 } } },
            nodes = new[] { new { mesh = 0 } },
            meshes = new[] { new { primitives } },
            accessors,
            bufferViews = views,
            buffers = new[] { new { byteLength = content.Length } },
            images,
            samplers = new[] { new { wrapS = Repeat, wrapT = Repeat } },
            textures = Enumerable.Range(0, paint.Count).Select(source => new { source, sampler = 0 }),
            materials = Enumerable.Range(0, paint.Count).Select(index => new
            {
                pbrMetallicRoughness = new { baseColorTexture = new { index }, metallicFactor = 0, roughnessFactor = 1 },
            }),
        });
        return Chunks(json, content.ToArray());
    }

    private static Vector3 Turned(Vector3 v) => new(v.X, v.Z, -v.Y);

    private static byte[] Chunks(byte[] json, byte[] content)
    {
        var padded = json.Length + (-json.Length & 3);
        var bytes = new byte[12 + 8 + padded + 8 + content.Length];
        var at = bytes.AsSpan();
        "glTF"u8.CopyTo(at);
        BinaryPrimitives.WriteInt32LittleEndian(at[4..], 2);
        BinaryPrimitives.WriteInt32LittleEndian(at[8..], bytes.Length);
        BinaryPrimitives.WriteInt32LittleEndian(at[12..], padded);
        "JSON"u8.CopyTo(at[16..]);
        at.Slice(20, padded).Fill((byte)' ');
        json.CopyTo(at[20..]);
        at = at[(20 + padded)..];
        BinaryPrimitives.WriteInt32LittleEndian(at, content.Length);
        "BIN\0"u8.CopyTo(at[4..]);
        content.CopyTo(at[8..]);
        return bytes;
    }

    private static byte[] Floats(IEnumerable<float> values) => [.. values.SelectMany(BitConverter.GetBytes)];

    private static byte[] Ints(List<int> values) => [.. values.SelectMany(BitConverter.GetBytes)];

    private static byte[] Png(MeshPaint paint, int picture)
    {
        var size = paint.Size;
        var rows = new byte[size * ((3 * size) + 1)];
        for (var y = 0; y < size; y++)
        {
            for (var x = 0; x < 3 * size; x++)
            {
                rows[(y * ((3 * size) + 1)) + 1 + x] = Encoded[paint.Rgb[(3 * size * ((picture * size) + y)) + x]];
            }
        }

        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            zlib.Write(rows);
        }

        using var png = new MemoryStream();
        png.Write(PngChunks.Signature);
        PngChunks.WriteHeader(png, size, size, 8, 2);
        PngChunks.Write(png, "IDAT"u8, packed.ToArray());
        PngChunks.Write(png, "IEND"u8, []);
        return png.ToArray();
    }

    /// <summary>The sRGB value of each linear one.</summary>
    private static readonly byte[] Encoded = [.. Enumerable.Range(0, 256).Select(i => i / 255.0)
        .Select(l => (byte)Math.Round(255 * (l <= .0031308 ? 12.92 * l : (1.055 * Math.Pow(l, 1 / 2.4)) - .055)))];
}
