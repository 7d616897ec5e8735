using System.Numerics;

namespace StageView.Light.Paths;

/// <summary>Convex hull of points in the plane (Andrew 1979, monotone chain).</summary>
internal static class Hull
{
    public static IReadOnlyList<Vector2> Of(IEnumerable<Vector2> points)
    {
        var sorted = points.Distinct().OrderBy(p => p.X).ThenBy(p => p.Y).ToArray();
        if (sorted.Length < 3)
        {
            return sorted;
        }

        var hull = new List<Vector2>();
        void Chain(IEnumerable<Vector2> run)
        {
            var floor = hull.Count;
            foreach (var p in run)
            {
                while (hull.Count >= floor + 2 && Turn(hull[^2], hull[^1], p) <= 0)
                {
                    hull.RemoveAt(hull.Count - 1);
                }

                hull.Add(p);
            }

            hull.RemoveAt(hull.Count - 1);
        }

        Chain(sorted);
        Chain(sorted.Reverse());
        return hull;
    }

    private static float Turn(Vector2 a, Vector2 b, Vector2 c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));
}
