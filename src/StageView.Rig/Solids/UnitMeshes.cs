using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Rig.Solids;

/// <summary>The shapes everything simple is made of, in the first places of <c>RigScene.Meshes</c>; all fit a cube of 1 m about the origin.</summary>
public static class UnitMeshes
{
    public const int Box = 0;

    /// <summary>Stands along z.</summary>
    public const int Cylinder = 1;

    public const int Sphere = 2;

    /// <summary>On the xy plane, facing +z.</summary>
    public const int Plane = 3;

    private const int Sides = 24;
    private const int Rings = 12;

    public static IReadOnlyList<SceneMesh> All { get; } = [MakeBox(), MakeCylinder(), MakeSphere(), MakePlane()];

    private static SceneMesh MakeBox()
    {
        var m = new MeshMaker();
        m.Box(Pose.Identity, Vector3.One);
        return m.Make("box");
    }

    private static SceneMesh MakePlane()
    {
        var m = new MeshMaker();
        m.Flat(new(-.5f, -.5f, 0), new(.5f, -.5f, 0), new(.5f, .5f, 0), new(-.5f, .5f, 0));
        return m.Make("plane");
    }

    private static SceneMesh MakeCylinder()
    {
        var m = new MeshMaker();
        var ring = new Vector3[Sides];
        for (var i = 0; i < Sides; i++)
        {
            var a = MathF.Tau * i / Sides;
            ring[i] = new Vector3(Trig.Cos(a), Trig.Sin(a), 0);
        }

        var h = new Vector3(0, 0, .5f);
        for (var i = 0; i < Sides; i++)
        {
            var (a, b) = (ring[i], ring[(i + 1) % Sides]);
            m.Smooth([(a / 2) - h, (b / 2) - h, (b / 2) + h, (a / 2) + h], [a, b, b, a]);
        }

        m.Flat([.. ring.Select(p => (p / 2) + h)]);
        m.Flat([.. ring.Reverse().Select(p => (p / 2) - h)]);
        return m.Make("cylinder");
    }

    private static SceneMesh MakeSphere()
    {
        var m = new MeshMaker();
        static Vector3 P(int ring, int side)
        {
            var polar = MathF.PI * ring / Rings;
            var around = MathF.Tau * side / Sides;
            return new Vector3(Trig.Sin(polar) * Trig.Cos(around), Trig.Sin(polar) * Trig.Sin(around), Trig.Cos(polar));
        }

        for (var r = 0; r < Rings; r++)
        {
            for (var s = 0; s < Sides; s++)
            {
                Vector3[] n = [P(r + 1, s), P(r + 1, s + 1), P(r, s + 1), P(r, s)];
                m.Smooth([n[0] / 2, n[1] / 2, n[2] / 2, n[3] / 2], n);
            }
        }

        return m.Make("sphere");
    }
}
