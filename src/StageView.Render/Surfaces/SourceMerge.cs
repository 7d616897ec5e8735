using System.Numerics;

namespace StageView.Render.Surfaces;

/// <summary>
/// Makes few blocks of many without losing light: blocks near each other that face about the same way become one, at the middle of their light, with the sum of
/// what they send. Far away that is exact for any receiver in front of all of them; near by the error goes with the square of the group's size over its
/// distance.
/// </summary>
internal static class SourceMerge
{
    /// <summary>A turn of 90 degrees counts like this distance, m.</summary>
    private const float TurnMetres = 4;

    /// <summary>Merges into at most so many blocks, at least 7. The same blocks in the same order give the same groups.</summary>
    public static List<SourceBlock> Into(List<SourceBlock> blocks, int most)
    {
        var order = Enumerable.Range(0, blocks.Count).ToArray();
        var groups = new PriorityQueue<(int First, int Count), (float, int)>();
        var sides = order.ToLookup(i => Side(blocks[i]));
        var next = 0;
        foreach (var side in sides.OrderBy(s => s.Key))
        {
            var first = next;
            foreach (var i in side)
            {
                order[next++] = i;
            }

            groups.Enqueue((first, next - first), (-Cost(blocks, order.AsSpan(first, next - first)), first));
        }

        // The group whose spread light is the largest error is halved, until there are as many as may be.
        while (groups.Count < most && groups.TryPeek(out var widest, out var cost) && cost.Item1 < 0)
        {
            groups.Dequeue();
            var all = order.AsSpan(widest.First, widest.Count);
            var axis = WidestAxis(blocks, all);
            all.Sort((a, b) => Along(blocks[a], axis).CompareTo(Along(blocks[b], axis)) is not 0 and var by ? by : a.CompareTo(b));
            var half = widest.Count / 2;
            groups.Enqueue((widest.First, half), (-Cost(blocks, all[..half]), widest.First));
            groups.Enqueue((widest.First + half, widest.Count - half), (-Cost(blocks, all[half..]), widest.First + half));
        }

        return [.. groups.UnorderedItems.Select(g => g.Element).OrderBy(g => g.First).Select(g => One(blocks, order.AsSpan(g.First, g.Count)))];
    }

    /// <summary>One block that sends what these send.</summary>
    private static SourceBlock One(List<SourceBlock> blocks, ReadOnlySpan<int> group)
    {
        if (group.Length == 1)
        {
            return blocks[group[0]];
        }

        var (place, front, light) = (Vector3.Zero, Vector3.Zero, Vector3.Zero);
        var (area, square, flux) = (0f, 0f, 0f);
        foreach (var i in group)
        {
            var b = blocks[i];
            place += b.Place * b.Flux;
            front += b.Front * b.Flux;
            light += b.Luminance * b.Area;
            (area, square, flux) = (area + b.Area, square + (b.Radius * b.Radius), flux + b.Flux);
        }

        // Fronts that differ send less along their mean than one plane would.
        var length = front.Length();
        var together = blocks[group[0]].Radius > 0 ? 1 : length / flux;
        return new SourceBlock(place / flux, length > 0 ? front / length : Vector3.UnitZ, area, MathF.Sqrt(square), light * (together / area));
    }

    /// <summary>Globes together, flat blocks by the axis that they face most.</summary>
    private static int Side(in SourceBlock b)
    {
        if (b.Radius > 0)
        {
            return 0;
        }

        var f = Vector3.Abs(b.Front);
        var axis = f.X >= f.Y && f.X >= f.Z ? 0 : f.Y >= f.Z ? 1 : 2;
        return 1 + (2 * axis) + (b.Front[axis] < 0 ? 1 : 0);
    }

    private static float Along(in SourceBlock b, int axis) => axis < 3 ? b.Place[axis] : b.Front[axis - 3] * TurnMetres;

    private static int WidestAxis(List<SourceBlock> blocks, ReadOnlySpan<int> group)
    {
        var (best, most) = (0, -1f);
        for (var axis = 0; axis < 6; axis++)
        {
            if (Spread(blocks, group, axis) is var spread && spread > most)
            {
                (best, most) = (axis, spread);
            }
        }

        return best;
    }

    private static float Spread(List<SourceBlock> blocks, ReadOnlySpan<int> group, int axis)
    {
        var (low, high) = (float.MaxValue, float.MinValue);
        foreach (var i in group)
        {
            var at = Along(blocks[i], axis);
            (low, high) = (MathF.Min(low, at), MathF.Max(high, at));
        }

        return high - low;
    }

    /// <summary>Light times the square of its spread; 0 for what can't be halved.</summary>
    private static float Cost(List<SourceBlock> blocks, ReadOnlySpan<int> group)
    {
        if (group.Length < 2)
        {
            return 0;
        }

        var (flux, square) = (0f, 1e-6f);
        foreach (var i in group)
        {
            flux += blocks[i].Flux;
        }

        for (var axis = 0; axis < 6; axis++)
        {
            square += MathF.Pow(Spread(blocks, group, axis), 2);
        }

        return flux * square;
    }
}
