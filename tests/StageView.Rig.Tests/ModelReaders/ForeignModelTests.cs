using System.Numerics;
using StageView.Light.Moments;
using StageView.Rig.ModelReaders;

namespace StageView.Rig.Tests.ModelReaders;

/// <summary>Formats that libassimp reads, for files that the user names.</summary>
public sealed class ForeignModelTests : IDisposable
{
    private const string Obj = "o a\nv 0 0 0\nv 2 0 0\nv 2 3 0\nv 0 3 0\nv 1 1 4\nf 1 2 3 4\nf 1 5 2\nf 2 5 3\nf 3 5 4\nf 4 5 1\n";

    // A wedge of two triangles, and one that its node moves by 5 along x.
    private const string Collada = """
        <?xml version="1.0"?>
        <COLLADA xmlns="http://www.collada.org/2005/11/COLLADASchema" version="1.4.1"><asset><unit meter="1"/><up_axis>Y_UP</up_axis></asset>
        <library_geometries><geometry id="g"><mesh><source id="p"><float_array id="pa" count="9">0 0 0 1 0 0 0 2 0</float_array><technique_common>
          <accessor source="#pa" count="3" stride="3"><param name="X" type="float"/><param name="Y" type="float"/><param name="Z" type="float"/></accessor>
            </technique_common></source>
        <vertices id="v"><input semantic="POSITION" source="#p"/></vertices><triangles count="1"><input semantic="VERTEX" source="#v" offset="0"/><p>0 1 2</p>
          </triangles></mesh></geometry></library_geometries>
        <library_visual_scenes><visual_scene id="s"><node id="n"><translate>5 0 0</translate><instance_geometry url="#g"/></node></visual_scene>
          </library_visual_scenes><scene><instance_visual_scene url="#s"/></scene></COLLADA>
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static void NeedsAssimp() => Assert.SkipUnless(AssimpModels.Instance.Missing.Length == 0, AssimpModels.Instance.Missing);

    private SceneMesh Read(string name, string text)
    {
        var mesh = ModelFiles.TryRead(_temp.Write(name, text), name, out var why);
        Assert.True(mesh is not null, why);
        return mesh;
    }

    private static float Area(SceneMesh m) => Enumerable.Range(0, m.Indices.Length / 3)
        .Sum(i => Vector3.Cross(m.Positions[m.Indices[(3 * i) + 1]] - m.Positions[m.Indices[3 * i]],
            m.Positions[m.Indices[(3 * i) + 2]] - m.Positions[m.Indices[3 * i]]).Length() / 2);

    /// <summary>Two readers of one file: bounds and area agree.</summary>
    [Fact]
    public void Obj_comes_the_same_from_libassimp_and_from_our_own_reader()
    {
        NeedsAssimp();
        var foreign = AssimpModels.Instance.TryRead(_temp.Write("a.obj", Obj), "a.obj", out var why);
        Assert.True(foreign is not null, why);
        var own = ObjReader.TryRead(System.Text.Encoding.ASCII.GetBytes(Obj), "a.obj", out _)!;
        Assert.Equal(MeshScaling.Bounds(own), MeshScaling.Bounds(foreign));
        Assert.Equal(Area(own), Area(foreign), 4);
        Assert.Equal(own.Indices.Length, foreign.Indices.Length);
    }

    /// <summary>A triangle of 1 by 2 m upright at x = 5: Y up becomes Z up.</summary>
    [Fact]
    public void Collada_is_read_with_its_nodes()
    {
        NeedsAssimp();
        var mesh = Read("a.dae", Collada);
        Assert.Equal((new Vector3(5, 0, 0), new Vector3(6, 0, 2)), MeshScaling.Bounds(mesh));
        Assert.Equal(1, Area(mesh), 4);
        Assert.All(mesh.Normals, n => Assert.True(Vector3.Distance(n, -Vector3.UnitY) < 1e-5f));
    }

    [Fact]
    public void Stl_and_ply_are_read()
    {
        NeedsAssimp();
        const string Stl = "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid a\n";
        const string Ply =
            "ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int "
            + "vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n";
        Assert.Equal(.5f, Area(Read("a.stl", Stl)), 4);
        Assert.Equal(.5f, Area(Read("a.ply", Ply)), 4);
    }

    [Fact]
    public void A_rig_hangs_one_as_scenery_and_a_damaged_one_gets_its_line()
    {
        NeedsAssimp();
        _temp.Write("piece.dae", Collada);
        var rig = _temp.Load("{ \"scenery\": [ { \"name\": \"p\", \"shape\": \"model\", \"file\": \"piece.dae\", \"size\": [2, 0, 4] } ] }");
        var (low, high) = MeshScaling.Bounds(rig.Meshes[rig.Scenery[0].Mesh]);
        Assert.Equal(new Vector3(2, 0, 4), high - low);
        _temp.Write("piece.dae", "<COLLADA");
        var problem = Assert.Single(_temp.Refused("{ \"scenery\": [\n { \"name\": \"p\", \"shape\": \"model\", \"file\": \"piece.dae\" } ] }"));
        Assert.Equal(2, problem.Line);
        Assert.Contains("piece.dae: libassimp can't read it", problem.Text, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', problem.Text);
    }

    [Fact]
    public void Without_the_library_the_line_says_what_to_install_and_obj_still_comes()
    {
        var path = _temp.Write("a.dae", Collada);
        Assert.Null(ModelFiles.TryRead(path, "a.dae", out var why, new NoModels()));
        Assert.Equal("a.dae: GLB, glTF, 3DS and OBJ are read here; other formats need libassimp, but it is not here: install it, or save the model as GLB",
            why);
        Assert.NotNull(ModelFiles.TryRead(_temp.Write("a.obj", Obj), "a.obj", out _, new NoModels()));
    }

    [Fact]
    public void Unknown_endings_are_refused_whoever_reads()
    {
        NeedsAssimp();
        Assert.Null(ModelFiles.TryRead(_temp.Write("a.odd", "x"), "a.odd", out var why));
        Assert.Contains("neither StageView nor libassimp reads files that end in .odd", why, StringComparison.Ordinal);
    }

    private sealed class NoModels : IForeignModels
    {
        public string Missing => "it is not here";

        public bool Knows(string extension) => false;

        public SceneMesh? TryRead(string path, string name, out string why) => throw new InvalidOperationException(name);
    }
}
