namespace StageView.Light.Rays;

/// <summary>
/// Binary tree over boxes by the surface area heuristic in 16 bins (Wald 2007, "On fast construction of SAH-based bounding volume hierarchies").
/// </summary>
internal sealed class BinaryTreeBuilder
{
    private const int Bins = 16;
    private const int DeepestHeuristic = 40;
    private Node[] _nodes = [];
    private int[] _order = [];
    private int _count;

    public ReadOnlySpan<Node> Nodes => _nodes.AsSpan(0, _count);

    public int[] Order => _order;

    public int Build(ReadOnlySpan<Box> boxes, int leafSize)
    {
        if (_order.Length < boxes.Length)
        {
            _order = new int[boxes.Length];
            _nodes = new Node[boxes.Length * 2];
        }

        for (var i = 0; i < boxes.Length; i++)
        {
            _order[i] = i;
        }

        _count = 0;
        return Split(boxes, 0, boxes.Length, leafSize, 0);
    }

    private int Split(ReadOnlySpan<Box> boxes, int first, int count, int leafSize, int depth)
    {
        var index = _count++;
        var box = Box.Empty;
        var centres = Box.Empty;
        for (var i = first; i < first + count; i++)
        {
            box.Include(boxes[_order[i]]);
            centres.Include(boxes[_order[i]].Centre);
        }

        _nodes[index] = new Node { Box = box, Left = -1, First = first, Count = count };
        if (count <= leafSize)
        {
            return index;
        }

        var half = depth < DeepestHeuristic ? Partition(boxes, first, count, leafSize, centres) : 0;
        if (half <= 0 || half >= count)
        {
            half = count / 2;
            Median(boxes, first, count, centres);
        }

        var left = Split(boxes, first, half, leafSize, depth + 1);
        var right = Split(boxes, first + half, count - half, leafSize, depth + 1);
        _nodes[index].Left = left;
        _nodes[index].Right = right;
        return index;
    }

    private void Median(ReadOnlySpan<Box> boxes, int first, int count, in Box centres)
    {
        var e = centres.Max - centres.Min;
        var axis = e.X >= e.Y && e.X >= e.Z ? 0 : e.Y >= e.Z ? 1 : 2;
        var keys = new float[count];
        for (var i = 0; i < count; i++)
        {
            keys[i] = boxes[_order[first + i]].Centre[axis];
        }

        keys.AsSpan().Sort(_order.AsSpan(first, count));
    }

    /// <summary>Reorders the run so that the cheaper side of the best plane comes first; returns its size, 0 when no plane parts it.</summary>
    private int Partition(ReadOnlySpan<Box> boxes, int first, int count, int leafSize, in Box centres)
    {
        Span<Box> bins = stackalloc Box[Bins];
        Span<int> counts = stackalloc int[Bins];
        Span<float> rightCost = stackalloc float[Bins];
        var (bestAxis, bestBin, bestCost) = (-1, 0, float.MaxValue);
        for (var axis = 0; axis < 3; axis++)
        {
            var low = centres.Min[axis];
            var extent = centres.Max[axis] - low;
            if (extent < 1e-9f)
            {
                continue;
            }

            var scale = Bins * 0.9999f / extent;
            bins.Fill(Box.Empty);
            counts.Clear();
            for (var i = first; i < first + count; i++)
            {
                ref readonly var b = ref boxes[_order[i]];
                var k = (int)((b.Centre[axis] - low) * scale);
                counts[k]++;
                bins[k].Include(b);
            }

            var run = Box.Empty;
            var items = 0;
            for (var k = Bins - 1; k > 0; k--)
            {
                run.Include(bins[k]);
                items += counts[k];
                rightCost[k] = items == 0 ? 0 : run.HalfArea * Leaves(items);
            }

            run = Box.Empty;
            items = 0;
            for (var k = 0; k < Bins - 1; k++)
            {
                run.Include(bins[k]);
                items += counts[k];
                var cost = (items == 0 ? 0 : run.HalfArea * Leaves(items)) + rightCost[k + 1];
                if (items > 0 && items < count && cost < bestCost)
                {
                    (bestAxis, bestBin, bestCost) = (axis, k, cost);
                }
            }
        }

        if (bestAxis < 0)
        {
            return 0;
        }

        // What a leaf holds is tested at once: it costs the same full or not.
        int Leaves(int items) => (items + leafSize - 1) / leafSize;

        var origin = centres.Min[bestAxis];
        var factor = Bins * 0.9999f / (centres.Max[bestAxis] - origin);
        var (l, r) = (first, first + count - 1);
        while (l <= r)
        {
            if ((int)((boxes[_order[l]].Centre[bestAxis] - origin) * factor) <= bestBin)
            {
                l++;
            }
            else
            {
                (_order[l], _order[r]) = (_order[r], _order[l]);
                r--;
            }
        }

        return l - first;
    }

    public struct Node
    {
        public Box Box;

        /// <summary>Left child, or -1 for a leaf.</summary>
        public int Left;
        public int Right;
        public int First;
        public int Count;
    }
}
