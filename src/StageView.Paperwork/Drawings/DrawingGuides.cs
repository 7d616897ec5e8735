using System.Numerics;
using StageView.Ground.Drawings;
using StageView.Rig.Pieces;

namespace StageView.Paperwork.Drawings;

/// <summary>What a drawing shows beside things: where people may be, and what can be seen from a seat.</summary>
internal static class DrawingGuides
{
    /// <param name="sheet">Where to draw.</param>
    /// <param name="rig">Its volumes; the section has its sight lines too.</param>
    /// <param name="flat">World to the plane of the drawing, m.</param>
    /// <param name="low">Corner of the frame, m.</param>
    /// <param name="high">The other corner.</param>
    /// <param name="section">Whether it is the section.</param>
    public static void Draw(Sheet sheet, RigScene rig, Func<Vector3, Vector2> flat, Vector2 low, Vector2 high, bool section)
    {
        foreach (var v in rig.Volumes)
        {
            var hull = Outlines.Hull(Corners(v).Select(flat));
            if (hull.Length > 2 && Outlines.Cut(hull, low, high) is { Length: > 2 } cut)
            {
                for (var i = 0; i < cut.Length; i++)
                {
                    sheet.Dash(sheet.At(cut[i]), sheet.At(cut[(i + 1) % cut.Length]));
                }

                var corner = cut.MinBy(p => p.Y + (p.X * .001f));
                sheet.Page.Write(sheet.At(corner) + new Vector2(1, 3), v.Name, sheet.TextSize);
            }
        }

        foreach (var s in section ? rig.SightLines : [])
        {
            // On past the edge for as far as the frame reaches.
            var (a, b) = (flat(s.Eye), flat(s.Edge));
            if (Within(a, a + ((b - a) * 100), low, high) is { } line)
            {
                sheet.Dash(sheet.At(line.A), sheet.At(line.B));
                sheet.Page.Write(sheet.At(line.B) + new Vector2(-PageLabels.WidthOf(s.Name, sheet.TextSize) - 1, -1), s.Name, sheet.TextSize);
            }
        }
    }

    /// <summary>The stretch of a line that lies in a rectangle, or null.</summary>
    public static (Vector2 A, Vector2 B)? Within(Vector2 a, Vector2 b, Vector2 low, Vector2 high)
    {
        var (from, to, d) = (0f, 1f, b - a);
        foreach (var (p, q) in (ReadOnlySpan<(float, float)>)[(-d.X, a.X - low.X), (d.X, high.X - a.X), (-d.Y, a.Y - low.Y), (d.Y, high.Y - a.Y)])
        {
            if (p == 0 && q < 0)
            {
                return null;
            }

            from = p < 0 ? Math.Max(from, q / p) : from;
            to = p > 0 ? Math.Min(to, q / p) : to;
        }

        return from < to ? (a + (d * from), a + (d * to)) : null;
    }

    public static IEnumerable<Vector3> Corners(CautionVolume v)
    {
        for (var i = 0; i < 8; i++)
        {
            yield return v.Pose.TransformPoint(new Vector3((i & 1) - .5f, ((i >> 1) & 1) - .5f, ((i >> 2) & 1) - .5f) * v.Size);
        }
    }
}
