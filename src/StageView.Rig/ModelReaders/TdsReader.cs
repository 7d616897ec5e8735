using System.Buffers.Binary;
using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// Reads 3DS meshes: chunks of a 16-bit kind and a 32-bit length (itself included), little-endian. 1 unit is 1 mm; vertices
/// are used as stored, the local matrix (0x4160) is not applied. Every length and index is checked before use.
/// </summary>
internal static class TdsReader
{
    private const ushort Main = 0x4D4D;
    private const ushort Editor = 0x3D3D;
    private const ushort NamedObject = 0x4000;
    private const ushort TriangleMesh = 0x4100;
    private const ushort Vertices = 0x4110;
    private const ushort Faces = 0x4120;

    public static SceneMesh? TryRead(ReadOnlySpan<byte> bytes, string name, out string why)
    {
        if (bytes.Length < 6 || BinaryPrimitives.ReadUInt16LittleEndian(bytes) != Main)
        {
            why = $"{name} is not a 3DS file";
            return null;
        }

        var positions = new List<Vector3>();
        var normals = new List<Vector3>();
        if (!Walk(bytes, 0, positions, normals, out why))
        {
            why = $"{name}: {why}";
            return null;
        }

        if (positions.Count == 0)
        {
            why = $"{name} holds no triangles";
            return null;
        }

        why = "";
        return MeshWelding.Weld(name, positions, normals);
    }

    /// <param name="bytes">A run of chunks.</param>
    /// <param name="depth">Levels above: Main, Editor, NamedObject, TriangleMesh are 4.</param>
    private static bool Walk(ReadOnlySpan<byte> bytes, int depth, List<Vector3> positions, List<Vector3> normals, out string why)
    {
        ReadOnlySpan<byte> vertices = default;
        ReadOnlySpan<byte> faces = default;
        while (bytes.Length >= 6)
        {
            var kind = BinaryPrimitives.ReadUInt16LittleEndian(bytes);
            var length = BinaryPrimitives.ReadUInt32LittleEndian(bytes[2..]);
            if (length < 6 || length > bytes.Length)
            {
                why = $"a chunk (0x{kind:X4}) says it is {length} bytes long but {bytes.Length} are left";
                return false;
            }

            var inner = bytes[6..(int)length];
            bytes = bytes[(int)length..];
            switch (kind)
            {
                case Main or Editor or TriangleMesh when depth < 8:
                    if (!Walk(inner, depth + 1, positions, normals, out why))
                    {
                        return false;
                    }

                    break;
                case NamedObject when depth < 8:
                    var end = inner.IndexOf((byte)0);
                    if (end >= 0 && !Walk(inner[(end + 1)..], depth + 1, positions, normals, out why))
                    {
                        return false;
                    }

                    break;
                case Vertices:
                    vertices = inner;
                    break;
                case Faces:
                    faces = inner;
                    break;
            }
        }

        return AddTriangles(vertices, faces, positions, normals, out why);
    }

    private static bool AddTriangles(
        ReadOnlySpan<byte> vertices, ReadOnlySpan<byte> faces, List<Vector3> positions, List<Vector3> normals, out string why)
    {
        why = "";
        if (vertices.Length < 2 || faces.Length < 2)
        {
            return true;
        }

        var vertexCount = BinaryPrimitives.ReadUInt16LittleEndian(vertices);
        var faceCount = BinaryPrimitives.ReadUInt16LittleEndian(faces);
        if (vertices.Length < 2 + (vertexCount * 12) || faces.Length < 2 + (faceCount * 8))
        {
            why = $"{vertexCount} vertices and {faceCount} faces are stated, but the file holds fewer";
            return false;
        }

        Span<Vector3> corner = stackalloc Vector3[3];
        for (var f = 0; f < faceCount; f++)
        {
            for (var k = 0; k < 3; k++)
            {
                var v = BinaryPrimitives.ReadUInt16LittleEndian(faces[(2 + (f * 8) + (k * 2))..]);
                if (v >= vertexCount)
                {
                    why = $"face {f} refers to vertex {v} of {vertexCount}";
                    return false;
                }

                var at = vertices[(2 + (v * 12))..];
                corner[k] = new Vector3(
                    BinaryPrimitives.ReadSingleLittleEndian(at),
                    BinaryPrimitives.ReadSingleLittleEndian(at[4..]),
                    BinaryPrimitives.ReadSingleLittleEndian(at[8..])) / 1000;
            }

            var n = Vector3.Cross(corner[1] - corner[0], corner[2] - corner[0]);
            if (!float.IsFinite(n.LengthSquared()))
            {
                why = $"face {f} has a corner that is no number";
                return false;
            }

            if (n.LengthSquared() > 1e-24f)
            {
                n = Vector3.Normalize(n);
                positions.AddRange([corner[0], corner[1], corner[2]]);
                normals.AddRange([n, n, n]);
            }
        }

        return true;
    }
}
