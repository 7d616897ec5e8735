using System.Numerics;

namespace StageView.Ground.Drawings;

/// <summary>Finds free places for labels near what they name: tried outwards in a fixed order, so the same picture always gets the same places.</summary>
/// <param name="room">Where labels may lie.</param>
/// <param name="gap">Least distance of a label from what it names.</param>
/// <param name="apart">Least distance of labels from each other and from the room's edge.</param>
public sealed class LabelPlacer(Rectangle room, float gap, float apart = 1)
{
    private static readonly Vector2[] Directions = [new(0, -1), new(0, 1), new(1, 0), new(-1, 0), new(1, -1), new(-1, -1), new(1, 1), new(-1, 1)];

    private readonly List<Rectangle> _taken = [];
    private readonly List<(Vector2 A, Vector2 B)> _leaders = [];

    public IReadOnlyList<Rectangle> Taken => _taken;

    /// <summary>Keeps a rectangle free of labels.</summary>
    public void Reserve(Rectangle rect) => _taken.Add(rect);

    /// <summary>Whether a point lies in a place that is taken.</summary>
    public bool Covers(Vector2 point) => _taken.Exists(t => t.Contains(point));

    /// <summary>
    /// A free rectangle of the given size near the anchor, or false when there is none within six rings. The line from anchor to label crosses nothing that is
    /// taken.
    /// </summary>
    public bool TryPlace(Vector2 anchor, Vector2 size, out Rectangle rect)
    {
        for (var ring = 0; ring < 6; ring++)
        {
            var reach = new Vector2(gap + (ring * size.X * 0.35f), gap + (ring * (size.Y + gap) * 0.8f));
            foreach (var way in Directions)
            {
                var middle = anchor + (way * ((size * 0.5f) + reach));
                rect = About(middle, size);
                var near = Vector2.Clamp(anchor, rect.Low, rect.High);
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
    public bool TryCentre(Vector2 anchor, Vector2 size, out Rectangle rect)
    {
        rect = About(anchor, size);
        if (!Free(rect))
        {
            return false;
        }

        _taken.Add(rect);
        return true;
    }

    // Whole units: text drawn at the same phase everywhere looks the same everywhere.
    private static Rectangle About(Vector2 middle, Vector2 size)
    {
        var low = new Vector2(MathF.Round(middle.X - (size.X * 0.5f)), MathF.Round(middle.Y - (size.Y * 0.5f)));
        return new Rectangle(low, low + size);
    }

    private bool Crosses(Vector2 anchor, Vector2 near, Rectangle rect) =>
        _taken.Exists(t => !t.Contains(anchor) && t.Meets(anchor, near)) || _leaders.Exists(l => rect.Meets(l.A, l.B));

    private bool Free(Rectangle rect) =>
        !(rect.Low.X < room.Low.X + apart || rect.Low.Y < room.Low.Y + apart || rect.High.X > room.High.X - apart || rect.High.Y > room.High.Y - apart)
        && !_taken.Exists(t => rect.Meets(t, apart));
}
