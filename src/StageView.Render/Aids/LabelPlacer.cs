using SkiaSharp;

namespace StageView.Render.Aids;

/// <summary>Finds free places for labels near what they name: tried outwards in a fixed order, so the same picture always gets the same places.</summary>
internal sealed class LabelPlacer(int width, int height, float gap)
{
    private static readonly (float X, float Y)[] Directions =
        [(0, -1), (0, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1)];

    private readonly List<SKRect> _taken = [];
    private readonly List<(SKPoint A, SKPoint B)> _leaders = [];

    public IReadOnlyList<SKRect> Taken => _taken;

    /// <summary>Keeps a rectangle free of labels.</summary>
    public void Reserve(SKRect rect) => _taken.Add(rect);

    /// <summary>Whether a point lies in a place that is taken.</summary>
    public bool Covers(SKPoint point) => _taken.Exists(t => t.Contains(point));

    /// <summary>A free rectangle of the given size near the anchor, or false when there is none within six rings. The line from anchor to label crosses nothing that is taken.</summary>
    public bool TryPlace(SKPoint anchor, SKSize size, out SKRect rect)
    {
        for (var ring = 0; ring < 6; ring++)
        {
            var (reachX, reachY) = (gap + (ring * size.Width * 0.35f), gap + (ring * (size.Height + gap) * 0.8f));
            foreach (var (x, y) in Directions)
            {
                var middleX = anchor.X + (x * ((size.Width * 0.5f) + reachX));
                var middleY = anchor.Y + (y * ((size.Height * 0.5f) + reachY));
                // Whole pixels: text drawn at the same phase everywhere looks the same everywhere.
                rect = SKRect.Create(MathF.Round(middleX - (size.Width * 0.5f)), MathF.Round(middleY - (size.Height * 0.5f)), size.Width, size.Height);
                var near = new SKPoint(Math.Clamp(anchor.X, rect.Left, rect.Right), Math.Clamp(anchor.Y, rect.Top, rect.Bottom));
                if (Free(rect) && !Crosses(anchor, near, rect))
                {
                    _taken.Add(rect);
                    _leaders.Add((anchor, near));
                    return true;
                }
            }
        }

        rect = default;
        return false;
    }

    /// <summary>The rectangle of the given size centred on the anchor, if that is free.</summary>
    public bool TryCentre(SKPoint anchor, SKSize size, out SKRect rect)
    {
        rect = SKRect.Create(MathF.Round(anchor.X - (size.Width * 0.5f)), MathF.Round(anchor.Y - (size.Height * 0.5f)), size.Width, size.Height);
        if (!Free(rect))
        {
            return false;
        }

        _taken.Add(rect);
        return true;
    }

    private bool Crosses(SKPoint anchor, SKPoint near, SKRect rect)
    {
        foreach (var other in _taken)
        {
            if (!other.Contains(anchor) && Meets(anchor, near, other))
            {
                return true;
            }
        }

        foreach (var (a, b) in _leaders)
        {
            if (Meets(a, b, rect))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether a segment passes through a rectangle (slab test).</summary>
    internal static bool Meets(SKPoint a, SKPoint b, SKRect r)
    {
        float enter = 0, leave = 1;
        return Slab(a.X, b.X - a.X, r.Left, r.Right, ref enter, ref leave) && Slab(a.Y, b.Y - a.Y, r.Top, r.Bottom, ref enter, ref leave);
    }

    private static bool Slab(float from, float step, float low, float high, ref float enter, ref float leave)
    {
        if (MathF.Abs(step) < 1e-6f)
        {
            return from > low && from < high;
        }

        var (t0, t1) = ((low - from) / step, (high - from) / step);
        enter = MathF.Max(enter, MathF.Min(t0, t1));
        leave = MathF.Min(leave, MathF.Max(t0, t1));
        return enter < leave;
    }

    private bool Free(SKRect rect)
    {
        if (rect.Left < 1 || rect.Top < 1 || rect.Right > width - 1 || rect.Bottom > height - 1)
        {
            return false;
        }

        foreach (var t in _taken)
        {
            if (rect.Left < t.Right + 1 && t.Left < rect.Right + 1 && rect.Top < t.Bottom + 1 && t.Top < rect.Bottom + 1)
            {
                return false;
            }
        }

        return true;
    }
}
