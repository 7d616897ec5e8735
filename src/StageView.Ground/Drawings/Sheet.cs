using System.Globalization;
using System.Numerics;

namespace StageView.Ground.Drawings;

/// <summary>A page with a frame, a title block and a legend, and the scale at which a drawing fits on it.</summary>
public sealed class Sheet
{
    private const float Margin = 10;
    private const float BlockHeight = 26;
    private static readonly int[] Scales = [20, 25, 50, 75, 100, 150, 200, 250, 500, 1000, 2000, 5000];
    private static readonly (string Name, float Width, float Height)[] Papers =
        [("A3", 420, 297), ("A3", 297, 420), ("A2", 594, 420), ("A2", 420, 594), ("A1", 841, 594), ("A1", 594, 841)];

    private readonly Vector2 _origin;
    private readonly Vector2 _low;

    /// <param name="name">File name of the drawing.</param>
    /// <param name="title">What it shows.</param>
    /// <param name="low">Corner of what is drawn, m.</param>
    /// <param name="high">The other corner, m.</param>
    /// <param name="onA3">Whether it must lie on A3, however small it gets.</param>
    public Sheet(string name, string title, Vector2 low, Vector2 high, bool onA3 = false)
    {
        var size = high - low;
        (var paper, Scale) = Fit(size, onA3 ? Papers[..2] : Papers);
        Paper = paper.Name;
        PerMetre = 1000f / Scale;
        Page = new Drawing(name, title, paper.Width, paper.Height);
        _low = low;
        _origin = new Vector2((paper.Width - (size.X * PerMetre)) / 2,
            Margin + 4 + ((paper.Height - BlockHeight - (2 * Margin) - 6 - (size.Y * PerMetre)) / 2));
        (RoomLow, RoomHigh) = (new Vector2(Margin + 2), new Vector2(paper.Width - Margin - 2, paper.Height - Margin - BlockHeight - 2));
    }

    public Drawing Page { get; }

    public string Paper { get; }

    /// <summary>The n of 1:n.</summary>
    public int Scale { get; }

    /// <summary>Millimetres on paper for a metre.</summary>
    public float PerMetre { get; }

    /// <summary>Corners of the room above the title block.</summary>
    public Vector2 RoomLow { get; }

    public Vector2 RoomHigh { get; }

    /// <summary>Height of labels that can be read on this paper at arm's length.</summary>
    public float TextSize => Paper switch { "A3" => 2f, "A2" => 2.2f, _ => 2.5f };

    public Vector2 At(Vector2 p) => _origin + ((p - _low) * PerMetre);

    public void Dash(Vector2 a, Vector2 b)
    {
        var length = Vector2.Distance(a, b);
        var along = (b - a) / Math.Max(length, 1e-3f);
        for (var t = 0f; t < length; t += 7)
        {
            Page.Line(a + (along * t), a + (along * Math.Min(length, t + 5)), .12f, .4f);
        }
    }

    /// <param name="rig">Name of the rig.</param>
    /// <param name="title">What is drawn and from where.</param>
    /// <param name="facts">What stands behind the scale.</param>
    /// <param name="section">Whether the legend tells of cut faces.</param>
    public void Block(string rig, string title, string facts, string made, bool section)
    {
        var (w, h) = (Page.Width, Page.Height);
        Page.Area([new(Margin, Margin), new(w - Margin, Margin), new(w - Margin, h - Margin), new(Margin, h - Margin)], .35f);
        var top = h - Margin - BlockHeight;
        Page.Line(new(Margin, top), new(w - Margin, top), .35f);
        Page.Write(new(Margin + 4, top + 8), rig, 5);
        Page.Write(new(Margin + 4, top + 14), title, 3.2f);
        Page.Write(new(Margin + 4, top + 20), string.Create(CultureInfo.InvariantCulture, $"Scale 1:{Scale} on {Paper}; {facts}"), 3.2f);
        Page.Write(new(Margin + 4, top + 24.5f), $"Drawn from the scene file, {made}. Not a structural drawing: a qualified rigger decides.", 2.4f);

        // The scale bar, the longest that fits, stands at the right; the legend before it.
        var metres = new[] { 10, 5, 2, 1 }.First(m => m * PerMetre <= (w < 300 ? 50 : 70) || m == 1);
        var bar = w - Margin - 12 - (metres * PerMetre);
        var x = Math.Max(Margin + 128, bar - 92);
        Sample(x, top + 5, "fixture with its number", (a, b) => Page.Area(Box(a, b), .25f, 0, 1));
        Sample(x, top + 11, "truss, ladder, pipe", (a, b) => Page.Area(Box(a, b), .3f, .45f));
        Sample(x, top + 17, "mirror", (a, b) => Page.Area(Box(a, b), .35f, .3f, .86f));
        Sample(x + 46, top + 5, "scenery", (a, b) => Page.Area(Box(a, b), .15f, .45f, .93f));
        if (section)
        {
            Sample(x + 46, top + 11, "cut face", (a, b) => Page.Area(Box(a, b), .5f, 0, .6f));
        }
        else
        {
            Sample(x + 46, top + 11, "centre line", (a, b) => Dash(new(a.X, (a.Y + b.Y) / 2), new(b.X, (a.Y + b.Y) / 2)));
        }

        Page.Write(new(x + 46, top + 20.4f), "+1.00", 2.4f);
        Page.Write(new(x + 56, top + 20.4f), "underside, m", 2.6f);
        for (var i = 0; i < metres; i++)
        {
            Page.Area(Box(new(bar + (i * PerMetre), top + 17), new(bar + ((i + 1) * PerMetre), top + 19)), .15f, 0, (i & 1) == 0 ? 0 : 1);
        }

        Page.Write(new(bar, top + 15.6f), "0", 2.4f);
        Page.Write(new(bar + (metres * PerMetre), top + 15.6f), string.Create(CultureInfo.InvariantCulture, $"{metres} m"), 2.4f, centred: true);
    }

    private static Vector2[] Box(Vector2 a, Vector2 b) => [a, new(b.X, a.Y), b, new(a.X, b.Y)];

    private void Sample(float x, float y, string text, Action<Vector2, Vector2> draw)
    {
        draw(new(x, y), new(x + 8, y + 4));
        Page.Write(new(x + 10, y + 3.4f), text, 2.6f);
    }

    private static ((string Name, float Width, float Height) Paper, int Scale) Fit(Vector2 size, (string Name, float Width, float Height)[] papers)
    {
        // The smallest paper on which the rig is drawn at 1:50 or larger, else 1:100, else what fits on the largest.
        // Where there is no choice of paper, the way round that gives the larger scale.
        foreach (var most in papers.Length < Papers.Length ? Scales : [50, 100, int.MaxValue])
        {
            foreach (var paper in papers)
            {
                var room = new Vector2(paper.Width - (2 * Margin) - 6, paper.Height - BlockHeight - (2 * Margin) - 8);
                foreach (var s in Scales)
                {
                    if (s <= most && size.X * 1000 / s <= room.X && size.Y * 1000 / s <= room.Y)
                    {
                        return (paper, s);
                    }
                }
            }
        }

        return (papers[^1], 10_000);
    }
}
