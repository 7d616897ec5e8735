using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace StageView.Light.Rays;

/// <summary>
/// A bounding volume hierarchy with eight children a node, so that one node's slabs are tested in one go. It knows
/// boxes only; what a leaf holds is its owner's business. Rebuilding reuses its arrays.
/// </summary>
internal sealed class WideTree
{
    public const int Width = 8;
    private const int Floats = 6 * Width;
    private const int None = int.MinValue;
    private const int StackSize = 512;
    private readonly BinaryTreeBuilder _binary = new();
    private float[] _bounds = [];
    private int[] _children = [];
    private int _nodes;

    // Boxes are made this much larger: the slab test rounds origin / direction on its own, which would lose a ray that runs along a box's face.
    private Vector3 _pad;

    /// <summary>Items in leaf order.</summary>
    public int[] Order => _binary.Order;

    /// <summary>First item (in <see cref="Order"/>) and number of items of each leaf.</summary>
    public List<(int First, int Count)> Leaves { get; } = [];

    public Box Bounds { get; private set; } = Box.Empty;

    /// <summary>Builds over the boxes; at most <paramref name="leafSize"/> items a leaf.</summary>
    public void Build(ReadOnlySpan<Box> boxes, int leafSize)
    {
        _nodes = 0;
        Leaves.Clear();
        Bounds = Box.Empty;
        if (boxes.IsEmpty)
        {
            return;
        }

        var root = _binary.Build(boxes, leafSize);
        Bounds = _binary.Nodes[root].Box;
        var reach = Vector3.Max(Vector3.Abs(Bounds.Min), Vector3.Abs(Bounds.Max));
        _pad = new Vector3(1e-6f * MathF.Max(reach.X, MathF.Max(reach.Y, reach.Z)));
        Widen(root);
    }

    /// <summary>Visits the leaves whose boxes the ray meets until the visitor says stop; true when it did.</summary>
    /// <param name="ray">Origin, direction and range; the visitor may shorten its range.</param>
    /// <param name="visitor">Tests the items of a leaf.</param>
    [SkipLocalsInit]
    public bool Visit<TVisitor>(ref TreeRay ray, ref TVisitor visitor)
        where TVisitor : struct, ILeafVisitor
    {
        if (_nodes == 0)
        {
            return false;
        }

        Span<int> stack = stackalloc int[StackSize];
        var top = 0;
        var inv = Vector3.One / ray.Safe;
        int nearX = inv.X >= 0 ? 0 : 3 * Width, nearY = inv.Y >= 0 ? Width : 4 * Width, nearZ = inv.Z >= 0 ? 2 * Width : 5 * Width;
        int farX = (3 * Width) - nearX, farY = (5 * Width) - nearY, farZ = (7 * Width) - nearZ;
        var ix = Vector256.Create(inv.X);
        var iy = Vector256.Create(inv.Y);
        var iz = Vector256.Create(inv.Z);
        // (bound - origin) / direction as one multiplication and addition.
        var ox = Vector256.Create(-ray.Origin.X * inv.X);
        var oy = Vector256.Create(-ray.Origin.Y * inv.Y);
        var oz = Vector256.Create(-ray.Origin.Z * inv.Z);
        var tMin = Vector256.Create(ray.From);
        ref var bounds = ref MemoryMarshal.GetArrayDataReference(_bounds);
        ref var children = ref MemoryMarshal.GetArrayDataReference(_children);
        var end = Vector256.Create(ray.To);
        var node = 0;
        while (true)
        {
            if (node >= 0)
            {
                ref var nb = ref Unsafe.Add(ref bounds, node * Floats);
                var near = Vector256.MaxNative(
                    Vector256.MaxNative(Slab(ref nb, nearX, ix, ox), Slab(ref nb, nearY, iy, oy)),
                    Vector256.MaxNative(Slab(ref nb, nearZ, iz, oz), tMin));
                var far = Vector256.MinNative(
                    Vector256.MinNative(Slab(ref nb, farX, ix, ox), Slab(ref nb, farY, iy, oy)),
                    Vector256.MinNative(Slab(ref nb, farZ, iz, oz), end));
                // Rounding may put an entry just behind an exit on a flat box: a few ulps of slack lose nothing.
                var hits = Vector256.LessThanOrEqual(near, far * 1.0000005f).ExtractMostSignificantBits();
                if (hits != 0)
                {
                    ref var family = ref Unsafe.Add(ref children, node * Width);
                    node = Unsafe.Add(ref family, BitOperations.TrailingZeroCount(hits));
                    // The others wait.
                    for (hits &= hits - 1; hits != 0; hits &= hits - 1)
                    {
                        if (top < StackSize)
                        {
                            stack[top++] = Unsafe.Add(ref family, BitOperations.TrailingZeroCount(hits));
                        }
                    }

                    continue;
                }
            }
            else
            {
                if (visitor.Leaf(~node, ref ray))
                {
                    return true;
                }

                if (TVisitor.Shortens)
                {
                    end = Vector256.Create(ray.To);
                }
            }

            if (top == 0)
            {
                return false;
            }

            node = stack[--top];
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Slab(ref float nodeBounds, int offset, Vector256<float> inverse, Vector256<float> origin) =>
        Vector256.MultiplyAddEstimate(Vector256.LoadUnsafe(ref Unsafe.Add(ref nodeBounds, offset)), inverse, origin);

    private int Widen(int binaryRoot)
    {
        var nodes = _binary.Nodes;
        var index = _nodes++;
        if (_children.Length < _nodes * Width)
        {
            Array.Resize(ref _children, Math.Max(Width * 4, _children.Length * 2));
            Array.Resize(ref _bounds, _children.Length / Width * Floats);
        }

        Span<int> open = stackalloc int[Width];
        var count = 1;
        open[0] = binaryRoot;
        while (count < Width)
        {
            var best = -1;
            var area = -1f;
            for (var i = 0; i < count; i++)
            {
                ref readonly var n = ref nodes[open[i]];
                if (n.Left >= 0 && n.Box.HalfArea > area)
                {
                    (best, area) = (i, n.Box.HalfArea);
                }
            }

            if (best < 0)
            {
                break;
            }

            var opened = open[best];
            open[best] = nodes[opened].Left;
            open[count++] = nodes[opened].Right;
        }

        for (var k = 0; k < Width; k++)
        {
            // An absent child has an inverted box, which no ray meets.
            var box = k < count ? nodes[open[k]].Box : new Box { Min = new Vector3(float.PositiveInfinity), Max = new Vector3(float.NegativeInfinity) };
            box = box with { Min = box.Min - _pad, Max = box.Max + _pad };
            var b = (index * Floats) + k;
            (_bounds[b], _bounds[b + Width], _bounds[b + (2 * Width)]) = (box.Min.X, box.Min.Y, box.Min.Z);
            (_bounds[b + (3 * Width)], _bounds[b + (4 * Width)], _bounds[b + (5 * Width)]) = (box.Max.X, box.Max.Y, box.Max.Z);
            _children[(index * Width) + k] = None;
        }

        for (var k = 0; k < count; k++)
        {
            var n = nodes[open[k]];
            int child;
            if (n.Left >= 0)
            {
                child = Widen(open[k]);
            }
            else
            {
                child = ~Leaves.Count;
                Leaves.Add((n.First, n.Count));
            }

            _children[(index * Width) + k] = child;
        }

        return index;
    }
}
