using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// The triangles of a mesh joined to larger plane convex polygons where neighbours allow it (the two halves of a wall become one): each triangle's polygon
/// casts at least its shadow. Made once a mesh.
/// </summary>
internal sealed class ConvexPatches
{
    /// <summary>Meshes with more triangles are left as they are: theirs are small.</summary>
    private const int MostTriangles = 4096;

    private const int MostCorners = 12;
    private static readonly ConditionalWeakTable<SceneMesh, ConvexPatches> Known = [];
    private readonly Vector3[][] _polygons;

    private ConvexPatches(SceneMesh mesh)
    {
        var count = mesh.Indices.Length / 3;
        _polygons = new Vector3[count][];
        for (var t = 0; t < count; t++)
        {
            _polygons[t] = [mesh.Positions[mesh.Indices[3 * t]], mesh.Positions[mesh.Indices[(3 * t) + 1]], mesh.Positions[mesh.Indices[(3 * t) + 2]]];
        }

        if (count <= MostTriangles)
        {
            Join();
        }
    }

    /// <summary>The polygon that holds a triangle, in the mesh's own coordinates.</summary>
    public static ReadOnlySpan<Vector3> Of(SceneMesh mesh, int triangle) => Known.GetValue(mesh, static m => new ConvexPatches(m))._polygons[triangle];

    private void Join()
    {
        var owners = new Dictionary<(Vector3, Vector3), int>();
        for (var t = 0; t < _polygons.Length; t++)
        {
            // Each join may open the next one, so start over with what has grown.
            while (Grow(t, owners))
            {
            }

            var p = _polygons[t];
            for (var k = 0; k < p.Length; k++)
            {
                owners.TryAdd((p[k], p[(k + 1) % p.Length]), t);
            }
        }
    }

    private bool Grow(int triangle, Dictionary<(Vector3, Vector3), int> owners)
    {
        var own = _polygons[triangle];
        for (var k = 0; k < own.Length; k++)
        {
            // A neighbour runs along the shared edge the other way.
            if (!owners.TryGetValue((own[(k + 1) % own.Length], own[k]), out var other) || ReferenceEquals(_polygons[other], own))
            {
                continue;
            }

            var joined = Joined(own, k, _polygons[other]);
            if (joined is null)
            {
                continue;
            }

            var (a, b) = (own, _polygons[other]);
            for (var t = 0; t <= triangle; t++)
            {
                if (ReferenceEquals(_polygons[t], a) || ReferenceEquals(_polygons[t], b))
                {
                    _polygons[t] = joined;
                }
            }

            return true;
        }

        return false;
    }

    /// <summary>Two polygons joined over an edge of the first, if that is plane and convex.</summary>
    private static Vector3[]? Joined(Vector3[] a, int edge, Vector3[] b)
    {
        var start = Array.IndexOf(b, a[(edge + 1) % a.Length]);
        if (start < 0 || b[(start + 1) % b.Length] != a[edge] || a.Length + b.Length - 2 > MostCorners)
        {
            return null;
        }

        var all = new List<Vector3>();
        for (var k = 1; k <= a.Length; k++)
        {
            all.Add(a[(edge + k) % a.Length]);
        }

        for (var k = 2; k < b.Length; k++)
        {
            all.Add(b[(start + k) % b.Length]);
        }

        var normal = Vector3.Normalize(Normal(a));
        if (Vector3.Dot(normal, Vector3.Normalize(Normal(b))) < 1 - 1e-6f)
        {
            return null;
        }

        for (var k = 0; k < all.Count; k++)
        {
            var (p, q, r) = (all[k], all[(k + 1) % all.Count], all[(k + 2) % all.Count]);
            var turn = Vector3.Dot(Vector3.Cross(q - p, r - q), normal);
            if (turn < -1e-6f * (q - p).Length() * (r - q).Length() || MathF.Abs(Vector3.Dot(p - a[0], normal)) > 1e-4f)
            {
                return null;
            }
        }

        return [.. all];
    }

    private static Vector3 Normal(Vector3[] p)
    {
        var n = Vector3.Zero;
        for (var k = 1; k + 1 < p.Length; k++)
        {
            n += Vector3.Cross(p[k] - p[0], p[k + 1] - p[0]);
        }

        return n;
    }
}
