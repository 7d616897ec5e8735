using System.Numerics;
using System.Text;
using SharpGLTF.Schema2;
using StageView.Rig.ModelReaders;
using StageView.Rig.Solids;

namespace StageView.Rig.Tests.ModelReaders;

public sealed class ModelTests
{
    [Fact]
    public void A_3ds_file_comes_back_in_metres()
    {
        var bytes = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Sphere]);
        var mesh = TdsReader.TryRead(bytes, "s", out var why);
        Assert.True(mesh is not null, why);
        var (low, high) = MeshScaling.Bounds(mesh);
        Assert.True(Vector3.Distance(new(-.5f), low) < .02f && Vector3.Distance(new(.5f), high) < .02f);
        Assert.All(mesh.Normals, n => Assert.Equal(1, n.Length(), 3));
    }

    /// <summary>The standard's own primitives (mvrdevelopment/spec at 098d379), read from beside the checkout: about one unit large as stored.</summary>
    [Theory]
    [InlineData("1.0/primitivetype_base.3ds")]
    [InlineData("1.0/primitivetype_yoke.3ds")]
    [InlineData("1.0/primitivetype_head.3ds")]
    [InlineData("1.1/primitivetype_base_1.1.3ds")]
    public void The_standards_primitives_are_read(string name)
    {
        var path = Path.GetFullPath(Path.Combine(Repo.Root, "..", "shared", "data", "primitives", name));
        Assert.SkipUnless(File.Exists(path), $"the standard's primitive {name} is not beside this checkout");
        var mesh = TdsReader.TryRead(File.ReadAllBytes(path), name, out var why);
        Assert.True(mesh is not null, why);
        var (low, high) = MeshScaling.Bounds(mesh);
        Assert.All((float[])[(high - low).X, (high - low).Y, (high - low).Z], e => Assert.InRange(e * 1000, .3f, 1.3f));
    }

    [Fact]
    public void Lies_in_a_3ds_file_are_refused()
    {
        var good = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]);
        Assert.Null(TdsReader.TryRead(Encoding.ASCII.GetBytes("nothing"), "a", out var why));
        Assert.Contains("not a 3DS file", why, StringComparison.Ordinal);
        Assert.Null(TdsReader.TryRead(good.AsSpan(0, good.Length - 40), "a", out why));
        Assert.Contains("bytes long but", why, StringComparison.Ordinal);
        var random = new Random(2);
        for (var i = 0; i < 2000; i++)
        {
            var bad = (byte[])good.Clone();
            bad[random.Next(bad.Length)] = (byte)random.Next(256);
            TdsReader.TryRead(bad, "a", out _);
        }
    }

    /// <summary>glTF 2.0, section 3.4: Y up, metres. (x, y, z) becomes (x, -z, y).</summary>
    [Fact]
    public void A_glb_is_turned_upright()
    {
        var model = ModelRoot.CreateModel();
        var node = model.UseScene(0).CreateNode("n");
        node.LocalTransform = Matrix4x4.CreateTranslation(0, 2, 0);
        var buffer = model.CreateBufferView(36, 12, SharpGLTF.Schema2.BufferMode.ARRAY_BUFFER);
        var points = new[] { new Vector3(0, 0, 0), new Vector3(1, 0, 0), new Vector3(0, 3, 0) };
        System.Runtime.InteropServices.MemoryMarshal.AsBytes(points.AsSpan()).CopyTo(buffer.Content);
        var accessor = model.CreateAccessor();
        accessor.SetVertexData(buffer, 0, 3, new SharpGLTF.Memory.AttributeFormat(DimensionType.VEC3));
        var mesh = model.CreateMesh("m");
        var primitive = mesh.CreatePrimitive();
        primitive.SetVertexAccessor("POSITION", accessor);
        primitive.DrawPrimitiveType = PrimitiveType.TRIANGLES;
        node.Mesh = mesh;
        var read = ModelFiles.TryRead(model.WriteGLB().ToArray(), "glb", "t", out var why);
        Assert.True(read is not null, why);
        Assert.Contains(read.Positions, p => Vector3.Distance(p, new(0, 0, 5)) < 1e-5f);
        Assert.Contains(read.Positions, p => Vector3.Distance(p, new(1, 0, 2)) < 1e-5f);

        // The triangle faced +z in glTF: towards -y here, the house.
        Assert.All(read.Normals, n => Assert.True(Vector3.Distance(n, -Vector3.UnitY) < 1e-5f));
    }

    [Fact]
    public void Damaged_glb_and_obj_files_are_refused()
    {
        Assert.Null(ModelFiles.TryRead(Encoding.ASCII.GetBytes("glTF nonsense"), "glb", "a", out var why));
        Assert.Contains("can't be read as glTF", why, StringComparison.Ordinal);
        Assert.Null(ObjReader.TryRead(Encoding.ASCII.GetBytes("v 0 0 0\nf 1 2 3\n"), "a", out why));
        Assert.Contains("line 2", why, StringComparison.Ordinal);
        foreach (var extension in (string[])["fbx", "obj", "dae"])
        {
            Assert.Null(ModelFiles.TryRead([1], extension, "a", out why));
            Assert.Contains("models in archives are read from GLB, glTF and 3DS", why, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void An_obj_face_of_four_makes_two_triangles()
    {
        var mesh = ObjReader.TryRead(Encoding.ASCII.GetBytes("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1/1 2/2 3/3 -1\n"), "a", out _);
        Assert.Equal(6, mesh!.Indices.Length);
    }
}
