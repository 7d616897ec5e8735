using System.IO.Compression;
using System.Numerics;
using System.Runtime.InteropServices;
using SkiaSharp;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Exchange;

public sealed class ExportedPictureTests
{
    [Fact]
    public void A_mesh_with_a_picture_goes_out_with_it_and_comes_back()
    {
        using var folder = new TempFolder();
        folder.File("board.gltf", Board());
        var rig = RigFiles.Open(folder.File("a.rig.jsonc",
            """{ "scenery": [{ "name": "board", "shape": "model", "file": "board.gltf", "at": [1, 2, 3], "rotate": [0, 0, 30] }] }"""));
        var before = Colours(rig);
        Assert.True(before.Left.X > 5 * before.Left.Z && before.Right.Z > 5 * before.Right.X, $"{before}");

        var mvr = folder["a.mvr"];
        using (var to = File.Create(mvr))
        {
            MvrExporter.Export(rig, to);
        }

        using (var zip = ZipFile.OpenRead(mvr))
        {
            Assert.Contains(zip.Entries, e => e.Name.EndsWith(".glb", StringComparison.Ordinal));
        }

        Assert.True(MvrImporter.TryImport(mvr, folder["again"], out var report, out _));
        var again = RigFiles.Open(report.RigFile);
        var after = Colours(again);
        Assert.True(Vector3.Distance(before.Left, after.Left) < .02f, $"{before} {after}");
        Assert.True(Vector3.Distance(before.Right, after.Right) < .02f, $"{before} {after}");
    }

    /// <summary>What the picture shows at the two ends of the board, found by where they stand in the world.</summary>
    private static (Vector3 Left, Vector3 Right) Colours(RigScene rig)
    {
        var piece = Assert.Single(rig.Scenery);
        var mesh = rig.Meshes[piece.Mesh];
        var paint = mesh.Paint!;
        var world = mesh.Positions.Select(p => piece.Pose.TransformPoint(p * piece.Scale)).ToArray();
        Assert.Equal(2 - (2 * MathF.Sin(MathF.PI / 6) / 2), world.Min(p => p.Y), .001f);
        Vector3 Near(int end)
        {
            // A quarter of the way from the end to the middle, so that no edge of the picture is hit.
            var middle = paint.At.Aggregate(Vector3.Zero, (s, a) => s + a) / paint.At.Length;
            return paint.Sample(Vector3.Lerp(paint.At[end], middle, .25f) with { Z = paint.At[end].Z });
        }

        return (Near(Array.IndexOf(world, world.MinBy(p => p.X))), Near(Array.IndexOf(world, world.MaxBy(p => p.X))));
    }

    /// <summary>A square of 2 m whose picture is red on the left and blue on the right.</summary>
    private static string Board()
    {
        using var picture = new SKBitmap(16, 16, SKColorType.Rgba8888, SKAlphaType.Opaque);
        for (var i = 0; i < 256; i++)
        {
            picture.SetPixel(i % 16, i / 16, i % 16 < 8 ? new SKColor(220, 20, 20) : new SKColor(20, 20, 220));
        }

        using var png = picture.Encode(SKEncodedImageFormat.Png, 100);
        Vector3[] places = [new(-1, -1, 0), new(1, -1, 0), new(1, 1, 0), new(-1, 1, 0)];
        Vector2[] at = [new(0, 1), new(1, 1), new(1, 0), new(0, 0)];
        ushort[] corners = [0, 1, 2, 0, 2, 3];
        byte[] data = [.. MemoryMarshal.AsBytes(places.AsSpan()), .. MemoryMarshal.AsBytes(at.AsSpan()), .. MemoryMarshal.AsBytes(corners.AsSpan())];
        return $$"""
            { "asset": { "version": "2.0" }, "scene": 0, "scenes": [ { "nodes": [0] } ], "nodes": [ { "mesh": 0 } ],
              "meshes": [ { "primitives": [ { "attributes": { "POSITION": 0, "TEXCOORD_0": 1 }, "indices": 2, "material": 0 } ] } ],
              "materials": [ { "pbrMetallicRoughness": { "baseColorTexture": { "index": 0 } } } ], "textures": [ { "source": 0 } ],
              "images": [ { "uri": "data:image/png;base64,{{Convert.ToBase64String(png.ToArray())}}" } ],
              "buffers": [ { "byteLength": {{data.Length}}, "uri": "data:application/octet-stream;base64,{{Convert.ToBase64String(data)}}" } ],
              "bufferViews": [ { "buffer": 0, "byteLength": 48 }, { "buffer": 0, "byteOffset": 48, "byteLength": 32 },
                { "buffer": 0, "byteOffset": 80, "byteLength": 12 } ],
              "accessors": [ { "bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3", "min": [-1, -1, 0], "max": [1, 1, 0] },
                { "bufferView": 1, "componentType": 5126, "count": 4, "type": "VEC2" },
                { "bufferView": 2, "componentType": 5123, "count": 6, "type": "SCALAR" } ] }
            """;
    }
}
