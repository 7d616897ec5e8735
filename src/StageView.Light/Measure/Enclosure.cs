using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Measure;

/// <summary>Whether a point lies inside something that blocks light.</summary>
public static class Enclosure
{
    /// <summary>The first piece of scenery that a point lies inside of, or none. Sheets and what is open enclose nothing.</summary>
    /// <param name="moment">What stands where.</param>
    /// <param name="point">m.</param>
    public static InstanceIndex Of(Moment moment, Vector3 point)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var scenery = moment.Scenery.Span;
        for (var i = 0; i < scenery.Length; i++)
        {
            var s = scenery[i];
            if (s.BlocksLight && s.Scale is { X: not 0, Y: not 0, Z: not 0 } && (uint)s.Mesh.Value < (uint)moment.Meshes.Count
                && Winds(moment.Meshes[s.Mesh.Value], s.Pose.InverseTransformPoint(point) / s.Scale))
            {
                return new InstanceIndex(i);
            }
        }

        return InstanceIndex.None;
    }

    /// <remarks>
    /// The solid angles of all triangles, with their sense, come to 4π inside a closed surface and to 0 outside. A triangle's is
    /// tan(Ω/2) = a·(b × c) / (abc + (a·b)c + (b·c)a + (c·a)b) (van Oosterom and Strackee 1983, IEEE Trans. Biomed. Eng. 30).
    /// </remarks>
    private static bool Winds(SceneMesh mesh, Vector3 point)
    {
        var box = MeshTree.Of(mesh).Bounds;
        if (Vector3.Min(box.Min, point) != box.Min || Vector3.Max(box.Max, point) != box.Max)
        {
            return false;
        }

        var sum = 0.0;
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var a = mesh.Positions[mesh.Indices[i]] - point;
            var b = mesh.Positions[mesh.Indices[i + 1]] - point;
            var c = mesh.Positions[mesh.Indices[i + 2]] - point;
            var (la, lb, lc) = (a.Length(), b.Length(), c.Length());
            var volume = (double)Vector3.Dot(a, Vector3.Cross(b, c));
            sum += 2 * Math.Atan2(volume, (la * lb * lc) + (Vector3.Dot(a, b) * lc) + (Vector3.Dot(b, c) * la) + (Vector3.Dot(c, a) * lb));
        }

        return Math.Abs(sum) > 2 * Math.PI;
    }
}
