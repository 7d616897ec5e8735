using System.Numerics;

namespace StageView.Ground.Drawings;

/// <summary>A rectangle along the axes of a page or picture, in its units.</summary>
/// <param name="Low">The corner with the smaller numbers.</param>
/// <param name="High">The other corner.</param>
public readonly record struct Rectangle(Vector2 Low, Vector2 High)
{
    /// <summary>Whether two overlap; <paramref name="apart"/> is how far they must stay from each other.</summary>
    public bool Meets(Rectangle o, float apart = 0) =>
        Low.X < o.High.X + apart && o.Low.X < High.X + apart && Low.Y < o.High.Y + apart && o.Low.Y < High.Y + apart;

    public bool Within(Rectangle o) => Low.X >= o.Low.X && Low.Y >= o.Low.Y && High.X <= o.High.X && High.Y <= o.High.Y;

    /// <summary>Whether a point lies inside; the lower edges belong to it, the upper ones don't.</summary>
    public bool Contains(Vector2 p) => p.X >= Low.X && p.X < High.X && p.Y >= Low.Y && p.Y < High.Y;

    /// <summary>Whether a stretch of line passes through the inside (slab test, after Kay and Kajiya, 1986).</summary>
    /// <param name="a">One end.</param>
    /// <param name="b">The other end.</param>
    /// <param name="slack">The share of the stretch that must lie inside to count.</param>
    public bool Meets(Vector2 a, Vector2 b, float slack = 0)
    {
        float enter = 0, leave = 1;
        return Slab(a.X, b.X - a.X, Low.X, High.X, ref enter, ref leave, slack) && Slab(a.Y, b.Y - a.Y, Low.Y, High.Y, ref enter, ref leave, slack);
    }

    /// <summary>Whether two stretches of line cross.</summary>
    public static bool Cross(Vector2 a, Vector2 b, Vector2 c, Vector2 d)
    {
        static float Side(Vector2 o, Vector2 p, Vector2 q) => ((p.X - o.X) * (q.Y - o.Y)) - ((p.Y - o.Y) * (q.X - o.X));
        return Side(a, b, c) * Side(a, b, d) < 0 && Side(c, d, a) * Side(c, d, b) < 0;
    }

    private static bool Slab(float from, float step, float low, float high, ref float enter, ref float leave, float slack)
    {
        if (MathF.Abs(step) < 1e-6f)
        {
            return from > low && from < high;
        }

        var (t0, t1) = ((low - from) / step, (high - from) / step);
        enter = MathF.Max(enter, MathF.Min(t0, t1));
        leave = MathF.Min(leave, MathF.Max(t0, t1));
        return enter < leave - slack;
    }
}
