using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Rig.Solids;

/// <summary>A yoke: a bar with two arms hanging from it, within a cube of 1 m about the origin.</summary>
internal static class YokeMesh
{
    public static SceneMesh Make()
    {
        var m = new MeshMaker();
        m.Box(Pose.At(0, 0, .42f), new Vector3(1, 1, .16f));
        m.Box(Pose.At(-.44f, 0, -.08f), new Vector3(.12f, .8f, .84f));
        m.Box(Pose.At(.44f, 0, -.08f), new Vector3(.12f, .8f, .84f));
        return m.Make("yoke");
    }
}
