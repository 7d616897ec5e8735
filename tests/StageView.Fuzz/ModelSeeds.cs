using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json.Nodes;

namespace StageView.Fuzz;

/// <summary>Small binary files, made by hand: nothing of ours that is instrumented writes them.</summary>
internal static class ModelSeeds
{
    /// <summary>The text seed's square with its buffer in a chunk (glTF 2.0, section 4.4).</summary>
    public static byte[] Glb(byte[] gltf)
    {
        var root = JsonNode.Parse(gltf)!;
        var buffer = root["buffers"]![0]!.AsObject();
        var data = Convert.FromBase64String(buffer["uri"]!.GetValue<string>().Split(',')[1]);
        buffer.Remove("uri");
        var json = Encoding.ASCII.GetBytes(root.ToJsonString());
        byte[] text = [.. json, .. Enumerable.Repeat((byte)' ', (4 - (json.Length % 4)) % 4)];
        return
        [
            .. "glTF"u8, .. Word(2), .. Word(28 + text.Length + data.Length), .. Word(text.Length), .. "JSON"u8, .. text,
            .. Word(data.Length), .. "BIN\0"u8, .. data,
        ];
    }

    /// <summary>A triangle, turned by its local axes.</summary>
    public static byte[] Tds()
    {
        float[] corners = [0, 0, 0, 1000, 0, 0, 0, 1000, 0];
        float[] axes = [1, 0, 0, 0, 1, 0, 0, 0, 1, 10, 20, 30];
        byte[] places = [3, 0, .. MemoryMarshal.AsBytes(corners.AsSpan())];
        byte[] faces = [1, 0, 0, 0, 1, 0, 2, 0, 7, 0, .. Chunk(0x4130, [.. "red\0"u8, 1, 0, 0, 0])];
        var mesh = Chunk(0x4100, [.. Chunk(0x4110, places), .. Chunk(0x4120, faces), .. Chunk(0x4160, MemoryMarshal.AsBytes(axes.AsSpan()).ToArray())]);
        return Chunk(0x4D4D, [.. Chunk(0x3D3D, Chunk(0x4000, [.. "part\0"u8, .. mesh]))]);
    }

    /// <summary>A frame of each format of points, and a palette.</summary>
    public static byte[] Ilda()
    {
        byte[] Head(byte format, int count) =>
            [.. "ILDA\0\0\0"u8, format, .. "frame   "u8, .. "company "u8, (byte)(count >> 8), (byte)count, 0, 0, 0, 1, 0, 0];
        byte[] Frame(byte format, int bytes) => [.. Head(format, 3), .. Enumerable.Range(0, 3 * bytes).Select(i => (byte)(i * 37))];
        return [.. Frame(0, 8), .. Frame(2, 3), .. Frame(1, 6), .. Frame(4, 10), .. Frame(5, 8), .. Head(0, 0)];
    }

    private static byte[] Chunk(int kind, byte[] inner) => [(byte)kind, (byte)(kind >> 8), .. Word(inner.Length + 6), .. inner];

    private static byte[] Word(int value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteInt32LittleEndian(bytes, value);
        return bytes;
    }
}
