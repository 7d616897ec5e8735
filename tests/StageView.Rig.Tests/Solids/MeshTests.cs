using System.Numerics;
using StageView.Rig.Scene;
using StageView.Rig.Solids;

namespace StageView.Rig.Tests.Solids;

public sealed class MeshTests
{
    [Fact]
    public void Meshes_are_closed_outward_and_of_unit_size()
    {
        // Divergence theorem: the signed volume of a closed mesh whose faces look outward is its volume.
        Assert.Equal(1, Volume(UnitMeshes.Box), 3);
        Assert.InRange(Volume(UnitMeshes.Cylinder), .76, MathF.PI / 4);
        Assert.InRange(Volume(UnitMeshes.Sphere), .49, MathF.PI / 6);
        foreach (var m in UnitMeshes.All)
        {
            Assert.All(m.Normals, n => Assert.Equal(1, n.Length(), 3));
            Assert.All(m.Positions, p => Assert.True(MathF.Max(MathF.Abs(p.X), MathF.Max(MathF.Abs(p.Y), MathF.Abs(p.Z))) <= .5001f));
        }
    }

    [Fact]
    public void Normals_look_the_way_the_triangles_do()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        foreach (var m in rig.Meshes)
        {
            for (var i = 0; i < m.Indices.Length; i += 3)
            {
                var (a, b, c) = (m.Positions[m.Indices[i]], m.Positions[m.Indices[i + 1]], m.Positions[m.Indices[i + 2]]);
                var face = Vector3.Cross(b - a, c - a);
                if (face.Length() > 1e-9f)
                {
                    Assert.True(Vector3.Dot(face, m.Normals[m.Indices[i]]) > 0, m.Name);
                }
            }
        }
    }

    private static double Volume(int mesh)
    {
        var m = UnitMeshes.All[mesh];
        double v = 0;
        for (var i = 0; i < m.Indices.Length; i += 3)
        {
            v += Vector3.Dot(m.Positions[m.Indices[i]], Vector3.Cross(m.Positions[m.Indices[i + 1]], m.Positions[m.Indices[i + 2]])) / 6;
        }

        return v;
    }
}
