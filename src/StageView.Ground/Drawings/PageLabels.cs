using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Ground.Drawings;

/// <summary>
/// Finds room for labels beside what they name: under, over, beside it or inside it, else further out with a leader line. In millimetres on the page.
/// </summary>
public sealed class PageLabels
{
    private const float Cell = 12;
    private const float Gap = .6f;
    private const float Slack = 1e-4f;
    private static readonly float[] Rings = [3, 5.5f, 8.5f, 12, 16, 21, 27, 34, 42];
    private readonly Vector2 _low;
    private readonly Vector2 _high;
    private readonly float _size;
    private readonly Dictionary<(int, int), List<Rectangle>> _things = [];
    private readonly Dictionary<(int, int), List<Rectangle>> _labels = [];
    private readonly List<(Vector2 A, Vector2 B)> _leaders = [];

    /// <param name="low">Corner of the room there is.</param>
    /// <param name="high">The other corner.</param>
    /// <param name="size">Height of the text.</param>
    public PageLabels(Vector2 low, Vector2 high, float size) => (_low, _high, _size) = (low, high, size);

    /// <summary>Labels that found no room and lie on others.</summary>
    public int Crowded { get; private set; }

    /// <summary>Width of a text in Helvetica, within a few per cent.</summary>
    public static float WidthOf(string text, float size) =>
        size * text.Sum(c => char.IsAsciiDigit(c) ? .556f : c is ' ' or '.' or ',' or 'i' or 'l' or '-' or 't' or 'f' ? .3f : char.IsUpper(c) ? .68f : .53f);

    /// <summary>The room of a text in a sans-serif font: a letter is .62 of the font's size wide, a line 1.15 of it high.</summary>
    public static Vector2 Room(string text, float size) => new(text.Length * size * 0.62f, size * 1.15f);

    /// <summary>Marks what labels should not cover.</summary>
    public void Occupy(Vector2 low, Vector2 high) => Put(_things, new Rectangle(low, high));

    /// <param name="page">The page to write on.</param>
    /// <param name="text">The label.</param>
    /// <param name="low">Corner of what it names.</param>
    /// <param name="high">The other corner.</param>
    /// <param name="left">Whether it stands at the left where there is room.</param>
    public void Place(Drawing page, string text, Vector2 low, Vector2 high, bool left = false)
    {
        var half = new Vector2((WidthOf(text, _size) / 2) + .35f, _size / 2);
        var own = new Rectangle(low, high);
        foreach (var care in (ReadOnlySpan<int>)[2, 1, 0])
        {
            foreach (var centre in Tries(own, half, left))
            {
                var box = new Rectangle(centre - half, centre + half);
                if (box.Low.X < _low.X || box.Low.Y < _low.Y || box.High.X > _high.X || box.High.Y > _high.Y || Hits(_labels, box, null)
                    || (care > 0 && Hits(_things, box, box.Within(own) ? own : null)))
                {
                    continue;
                }

                var leader = Leader(own, box);
                if (_leaders.Exists(l => box.Meets(l.A, l.B, Slack))
                    || (leader is { } line && (Crosses(_labels, line, null) || (care > 1 && Crosses(_things, line, own))
                        || _leaders.Exists(l => Rectangle.Cross(l.A, l.B, line.A, line.B)))))
                {
                    continue;
                }

                Write(page, text, centre, box, leader);
                return;
            }
        }

        Crowded++;
        var last = new Vector2((low.X + high.X) / 2, high.Y + Gap + half.Y);
        Write(page, text, last, new Rectangle(last - half, last + half), null);
    }

    private static IEnumerable<Vector2> Tries(Rectangle own, Vector2 half, bool left)
    {
        var middle = (own.Low + own.High) / 2;
        if (left)
        {
            yield return new(own.Low.X - Gap - half.X, middle.Y);
        }

        yield return new(middle.X, own.High.Y + Gap + half.Y);
        yield return new(middle.X, own.Low.Y - Gap - half.Y);
        if (own.High.X - own.Low.X > 2.1f * half.X && own.High.Y - own.Low.Y > 2.1f * half.Y)
        {
            yield return middle;
        }

        yield return new(own.High.X + Gap + half.X, middle.Y);
        yield return new(own.Low.X - Gap - half.X, middle.Y);
        foreach (var ring in Rings)
        {
            for (var i = 0; i < 16; i++)
            {
                // From straight down, to both sides in turn.
                var a = MathF.PI * (.5f + ((i & 1) == 0 ? i / 2 : -(i + 1) / 2) / 8f);
                var way = new Vector2(Trig.Cos(a), Trig.Sin(a));
                yield return middle + (way * (((own.High - own.Low) / 2) + half + new Vector2(ring)));
            }
        }
    }

    /// <summary>From the label's edge to the thing's, or null where they all but touch.</summary>
    private static (Vector2 A, Vector2 B)? Leader(Rectangle own, Rectangle label)
    {
        var a = Vector2.Clamp((own.Low + own.High) / 2, label.Low, label.High);
        var b = Vector2.Clamp(a, own.Low, own.High);
        return Vector2.Distance(a, b) <= 1.2f ? null : (a, b);
    }

    private void Write(Drawing page, string text, Vector2 centre, Rectangle box, (Vector2 A, Vector2 B)? leader)
    {
        Put(_labels, box);
        if (leader is { } line)
        {
            page.Line(line.A, line.B, .1f, .35f);
            _leaders.Add(line);
        }

        // A plate of paper under the text keeps it readable over lines; the base line of figures lies a little above the box's lower edge.
        page.Area([box.Low, new(box.High.X, box.Low.Y), box.High, new(box.Low.X, box.High.Y)], 0, 1, 1);
        page.Write(new Vector2(centre.X, centre.Y + (_size * .36f)), text, _size, centred: true);
    }

    private static void Put(Dictionary<(int, int), List<Rectangle>> grid, Rectangle box)
    {
        foreach (var key in Cells(box))
        {
            if (!grid.TryGetValue(key, out var list))
            {
                grid[key] = list = [];
            }

            list.Add(box);
        }
    }

    private static bool Hits(Dictionary<(int, int), List<Rectangle>> grid, Rectangle box, Rectangle? but)
    {
        foreach (var key in Cells(box))
        {
            if (grid.TryGetValue(key, out var list) && list.Exists(b => b != but && b.Meets(box)))
            {
                return true;
            }
        }

        return false;
    }

    private static bool Crosses(Dictionary<(int, int), List<Rectangle>> grid, (Vector2 A, Vector2 B) line, Rectangle? but)
    {
        var around = new Rectangle(Vector2.Min(line.A, line.B), Vector2.Max(line.A, line.B));
        foreach (var key in Cells(around))
        {
            if (grid.TryGetValue(key, out var list) && list.Exists(b => b != but && b.Meets(line.A, line.B, Slack)))
            {
                return true;
            }
        }

        return false;
    }

    private static IEnumerable<(int, int)> Cells(Rectangle box)
    {
        for (var x = (int)MathF.Floor(box.Low.X / Cell); x <= (int)MathF.Floor(box.High.X / Cell); x++)
        {
            for (var y = (int)MathF.Floor(box.Low.Y / Cell); y <= (int)MathF.Floor(box.High.Y / Cell); y++)
            {
                yield return (x, y);
            }
        }
    }
}
