using System.Text;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Writes a mesh as 3DS, 1 unit 1 mm; meshes of more than 65,535 corners are cut into several objects.</summary>
internal static class TdsWriter
{
    private const int MostTriangles = 21_000;

    public static byte[] Write(SceneMesh mesh)
    {
        var objects = new MemoryStream();
        var triangles = mesh.Indices.Length / 3;
        for (var first = 0; first < triangles || first == 0; first += MostTriangles)
        {
            objects.Write(Part(mesh, first, Math.Min(triangles, first + MostTriangles), first / MostTriangles));
        }

        return Chunk(0x4D4D, Chunk(0x3D3D, objects.ToArray()));
    }

    private static byte[] Part(SceneMesh mesh, int first, int end, int number)
    {
        var places = new Dictionary<int, ushort>();
        using var vertices = new MemoryStream();
        using var faces = new MemoryStream();
        using var v = new BinaryWriter(vertices);
        using var f = new BinaryWriter(faces);
        v.Write((ushort)0);
        f.Write((ushort)(end - first));
        for (var i = first * 3; i < end * 3; i++)
        {
            if (!places.TryGetValue(mesh.Indices[i], out var at))
            {
                places[mesh.Indices[i]] = at = (ushort)places.Count;
                var p = mesh.Positions[mesh.Indices[i]] * 1000;
                v.Write(p.X);
                v.Write(p.Y);
                v.Write(p.Z);
            }

            f.Write(at);
            if (i % 3 == 2)
            {
                f.Write((ushort)7);
            }
        }

        v.Seek(0, SeekOrigin.Begin);
        v.Write((ushort)places.Count);
        byte[] inner = [.. Chunk(0x4110, vertices.ToArray()), .. Chunk(0x4120, faces.ToArray())];
        return Chunk(0x4000, [.. Encoding.ASCII.GetBytes($"part{number}\0"), .. Chunk(0x4100, inner)]);
    }

    private static byte[] Chunk(ushort kind, byte[] inner) =>
        [.. BitConverter.GetBytes(kind), .. BitConverter.GetBytes(inner.Length + 6), .. inner];
}
