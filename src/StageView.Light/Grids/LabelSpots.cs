using System.Numerics;

namespace StageView.Light.Grids;

/// <summary>Rectangles on a drawing that labels have taken, so that no two lie on each other. Sizes are estimates: a letter is .62 of the font's size wide.</summary>
internal sealed class LabelSpots(float left, float top, float right, float bottom)
{
    private readonly List<(float X, float Y, float W, float H)> _taken = [];

    /// <summary>Where the text's baseline starts near an anchor, or null when each of the places about it is taken or outside the drawing.</summary>
    public Vector2? Near(Vector2 anchor, string text, float size)
    {
        var (w, h) = (text.Length * size * 0.62f, size * 1.15f);
        foreach (var (x, y) in (ReadOnlySpan<(float, float)>)
            [(5, -5), (5, h), (-w - 5, -5), (-w - 5, h), (5, -5 - h), (5, 2 * h), (-w - 5, -5 - h), (-w - 5, 2 * h), (5, -5 - (2 * h)), (5, 3 * h)])
        {
            if (Take(anchor.X + x, anchor.Y + y, w, h))
            {
                return new Vector2(anchor.X + x, anchor.Y + y);
            }
        }

        return null;
    }

    /// <summary>Takes the place of a text centred on a point, if it is free.</summary>
    public Vector2? Centred(Vector2 middle, string text, float size)
    {
        var (w, h) = (text.Length * size * 0.62f, size * 1.15f);
        var at = new Vector2(middle.X - (w / 2), middle.Y + (size * 0.35f));
        return Take(at.X, at.Y, w, h) ? at : null;
    }

    private bool Take(float x, float baseline, float w, float h)
    {
        var y = baseline - (h * 0.8f);
        if (x < left || y < top || x + w > right || y + h > bottom || _taken.Exists(t => x < t.X + t.W && t.X < x + w && y < t.Y + t.H && t.Y < y + h))
        {
            return false;
        }

        _taken.Add((x, y, w, h));
        return true;
    }
}
