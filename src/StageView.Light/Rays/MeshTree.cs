using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using StageView.Light.Moments;

namespace StageView.Light.Rays;

/// <summary>A mesh's triangles in a <see cref="WideTree"/>, eight a leaf, in the mesh's own coordinates. Built once a mesh and shared.</summary>
internal sealed class MeshTree
{
    private const int Rows = 9;
    private static readonly ConditionalWeakTable<SceneMesh, MeshTree> Known = [];
    private readonly WideTree _tree = new();
    private readonly float[] _triangles;
    private readonly int[] _ids;

    private readonly SceneMesh _mesh;

    private MeshTree(SceneMesh mesh)
    {
        _mesh = mesh;
        var count = mesh.Indices.Length / 3;
        var boxes = new Box[count];
        for (var i = 0; i < count; i++)
        {
            var box = Box.Empty;
            for (var k = 0; k < 3; k++)
            {
                box.Include(mesh.Positions[mesh.Indices[(3 * i) + k]]);
            }

            boxes[i] = box;
        }

        _tree.Build(boxes, WideTree.Width);
        _triangles = new float[_tree.Leaves.Count * Rows * WideTree.Width];
        _ids = new int[_tree.Leaves.Count * WideTree.Width];
        Array.Fill(_ids, -1);
        for (var leaf = 0; leaf < _tree.Leaves.Count; leaf++)
        {
            var (first, n) = _tree.Leaves[leaf];
            for (var k = 0; k < n; k++)
            {
                var id = _tree.Order[first + k];
                var a = mesh.Positions[mesh.Indices[3 * id]];
                var e1 = mesh.Positions[mesh.Indices[(3 * id) + 1]] - a;
                var e2 = mesh.Positions[mesh.Indices[(3 * id) + 2]] - a;
                _ids[(leaf * WideTree.Width) + k] = id;
                for (var axis = 0; axis < 3; axis++)
                {
                    var at = (leaf * Rows * WideTree.Width) + k;
                    _triangles[at + (axis * WideTree.Width)] = a[axis];
                    _triangles[at + ((3 + axis) * WideTree.Width)] = e1[axis];
                    _triangles[at + ((6 + axis) * WideTree.Width)] = e2[axis];
                }
            }
        }
    }

    public Box Bounds => _tree.Bounds;

    public static MeshTree Of(SceneMesh mesh) => Known.GetValue(mesh, static m => new MeshTree(m));

    /// <summary>Normal of a triangle in mesh coordinates, not of unit length.</summary>
    public Vector3 NormalOf(int triangle)
    {
        var (i, p) = (_mesh.Indices, _mesh.Positions);
        var a = p[i[3 * triangle]];
        return Vector3.Cross(p[i[(3 * triangle) + 1]] - a, p[i[(3 * triangle) + 2]] - a);
    }

    /// <summary>True when any triangle is met in the ray's range.</summary>
    public bool Any(TreeRay ray)
    {
        var visitor = new AnyVisitor { Mesh = this };
        return _tree.Visit(ref ray, ref visitor);
    }

    /// <summary>The first triangle met; the ray's range is shortened to it. -1 when there is none.</summary>
    public int Closest(ref TreeRay ray)
    {
        var visitor = new ClosestVisitor { Mesh = this, Triangle = -1 };
        _tree.Visit(ref ray, ref visitor);
        return visitor.Triangle;
    }

    /// <summary>
    /// Möller and Trumbore 1997, eight triangles at a time: which of them are met in the ray's range, as bits. Kept multiplied by the determinant, whose
    /// sign goes into the other terms, so that nothing is divided; the distances times the determinant and its size come out for those who want them.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private uint Intersect(int leaf, in TreeRay ray, out Vector256<float> distance, out Vector256<float> size)
    {
        ref var t = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_triangles), leaf * Rows * WideTree.Width);
        var dx = Vector256.Create(ray.Direction.X);
        var dy = Vector256.Create(ray.Direction.Y);
        var dz = Vector256.Create(ray.Direction.Z);
        var (e1x, e1y, e1z) = (Row(ref t, 3), Row(ref t, 4), Row(ref t, 5));
        var (e2x, e2y, e2z) = (Row(ref t, 6), Row(ref t, 7), Row(ref t, 8));
        var px = MulSub(dy, e2z, dz * e2y);
        var py = MulSub(dz, e2x, dx * e2z);
        var pz = MulSub(dx, e2y, dy * e2x);
        var determinant = Dot(e1x, e1y, e1z, px, py, pz);
        var sign = determinant & Vector256.Create(-0f);
        size = determinant ^ sign;
        var sx = Vector256.Create(ray.Origin.X) - Row(ref t, 0);
        var sy = Vector256.Create(ray.Origin.Y) - Row(ref t, 1);
        var sz = Vector256.Create(ray.Origin.Z) - Row(ref t, 2);
        var u = Dot(sx, sy, sz, px, py, pz) ^ sign;
        var qx = MulSub(sy, e1z, sz * e1y);
        var qy = MulSub(sz, e1x, sx * e1z);
        var qz = MulSub(sx, e1y, sy * e1x);
        var v = Dot(dx, dy, dz, qx, qy, qz) ^ sign;
        distance = Dot(e2x, e2y, e2z, qx, qy, qz) ^ sign;
        // A padded or flat triangle has determinant 0: its distance is not below 0 times the range's end.
        var met = Vector256.GreaterThanOrEqual(u, Vector256<float>.Zero)
            & Vector256.GreaterThanOrEqual(v, Vector256<float>.Zero)
            & Vector256.LessThanOrEqual(u + v, size)
            & Vector256.GreaterThan(distance, size * ray.From)
            & Vector256.LessThan(distance, size * ray.To);
        return met.ExtractMostSignificantBits();
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> MulSub(Vector256<float> a, Vector256<float> b, Vector256<float> less) => Vector256.MultiplyAddEstimate(a, b, -less);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Dot(Vector256<float> ax, Vector256<float> ay, Vector256<float> az, Vector256<float> bx, Vector256<float> by,
        Vector256<float> bz) =>
        Vector256.MultiplyAddEstimate(ax, bx, Vector256.MultiplyAddEstimate(ay, by, az * bz));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Row(ref float block, int row) => Vector256.LoadUnsafe(ref Unsafe.Add(ref block, row * WideTree.Width));

    private struct AnyVisitor : ILeafVisitor
    {
        public MeshTree Mesh;

        public static bool Shortens => false;

        public readonly bool Leaf(int leaf, ref TreeRay ray)
        {
            return Mesh.Intersect(leaf, ray, out _, out _) != 0;
        }
    }

    private struct ClosestVisitor : ILeafVisitor
    {
        public MeshTree Mesh;
        public int Triangle;

        public static bool Shortens => true;

        public bool Leaf(int leaf, ref TreeRay ray)
        {
            var hits = Mesh.Intersect(leaf, ray, out var scaled, out var size);
            var distance = hits == 0 ? default : scaled / size;
            while (hits != 0)
            {
                var k = BitOperations.TrailingZeroCount(hits);
                hits &= hits - 1;
                if (distance[k] < ray.To)
                {
                    ray.To = distance[k];
                    Triangle = Mesh._ids[(leaf * WideTree.Width) + k];
                }
            }

            return false;
        }
    }
}
