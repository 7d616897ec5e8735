using System.Globalization;
using System.Numerics;
using StageView.Ground.Drawings;
using StageView.Light.Cautions.Flashes;
using static StageView.Show.Cautions.FlashTexts;

namespace StageView.Show.Cautions;

/// <summary>One A3 sheet of a timeline, in millimetres; text can still be read when it is printed on A4.</summary>
internal sealed class TimelinePage
{
    public const float StrobeHeight = 7;
    private const float Width = 420;
    private const float Height = 297;
    private const float Margin = 10;
    private const float Names = Margin + 3;
    private const float Left = 96;
    private const float Right = Width - Margin - 6;
    private const float Top = 60;
    private const float Bottom = 252;
    private const float Lane = 4.4f;
    private const float Curve = 12;
    private const float Size = 3;
    private const float Small = 2.6f;
    private const int CueRows = 4;

    // Okabe and Ito (2008): blue, vermilion, bluish green, reddish purple.
    private const uint General = 0x0072B2;
    private const uint Red = 0xD55E00;
    private const uint Strobe = 0x009E73;
    private const uint Bright = 0xCC79A7;
    private readonly FlashesAnswer _answer;
    private float _y = Top;

    public TimelinePage(FlashesAnswer answer, int number)
    {
        _answer = answer;
        var name = number == 1 ? "flashes" : $"flashes-{number}";
        Drawing = new Drawing(name, $"{answer.Rig}: flashes and bright light, sheet {number}", Width, Height);
        Drawing.Area(Box(Margin, Margin, Width - Margin, Height - Margin), .35f);
        Drawing.Write(new(Names, Margin + 8), $"{answer.Rig}: flashes and bright light along the show", 5);
        Drawing.Write(new(Names, Margin + 14),
            FormattableString.Invariant($"{Clock(answer.Asked.From, answer.Asked.To)} of the recording, sheet {number}. {answer.Moments} moments, ")
            + $"{answer.Places.Count} places.", Size);
        Axis();
        Cues();
        Legend();
    }

    public Drawing Drawing { get; }

    public bool HasRoom(float height) => _y + height <= Bottom;

    public static float HeightOf(PlaceFlashes place) => (2 * Lane) + 3 + (place.Comfort is null ? 0 : Curve + 2);

    /// <summary>A place: a lane of general flashes, one of red ones, and a seat's light at the eye.</summary>
    public void Add(PlaceFlashes place)
    {
        var height = HeightOf(place);
        Rule(height);
        Drawing.Write(new(Names, _y + 4), Fitted(place.Place.Name, Size, Left - Names - 3), Size);
        Drawing.Write(new(Names, _y + 8), $"most in a second: {place.Most(FlashKind.General)} general, {place.Most(FlashKind.Red)} red", Small);
        Lanes(place);
        if (place.Comfort is not null)
        {
            LightAtTheEye(place, _y + (2 * Lane) + 3);
        }

        _y += height;
    }

    /// <summary>A fixture that strobes.</summary>
    public void Add(string fixture, IReadOnlyList<StrobeTime> times)
    {
        Rule(StrobeHeight);
        Drawing.Write(new(Names, _y + 4.4f), Fitted($"{fixture}, up to {Rate(times.Max(t => t.Rate))} a second", Size, Left - Names - 3), Size);
        var (low, high) = (_y + 1.2f, _y + StrobeHeight - 1.2f);
        var labels = Row(_y, StrobeHeight);
        foreach (var t in times)
        {
            var (a, b) = Bar(t.From, t.To, low, high);
            labels.Reserve(new(a, b));
            Drawing.Area(Box(a.X, a.Y, b.X, b.Y), .2f, 0, .85f, ink: Strobe);
            for (var x = a.X + .7f; x < b.X; x += 1.2f)
            {
                Drawing.Line(new(x, a.Y), new(x, b.Y), .3f, 0, Strobe);
            }
        }

        foreach (var t in times.OrderByDescending(t => t.Rate))
        {
            Label(labels, Bar(t.From, t.To, low, high), Rate(t.Rate) + "/s");
        }

        _y += StrobeHeight;
    }

    public void Say(string text)
    {
        Rule(StrobeHeight);
        Drawing.Write(new(Names, _y + 4.4f), text, Size);
        _y += StrobeHeight;
    }

    private static Vector2[] Box(float x0, float y0, float x1, float y1) => [new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1)];

    private static string Fitted(string text, float size, float room)
    {
        if (PageLabels.WidthOf(text, size) <= room)
        {
            return text;
        }

        var length = text.Length;
        while (length > 1 && PageLabels.WidthOf(text[..length] + "…", size) > room)
        {
            length--;
        }

        return text[..length].TrimEnd() + "…";
    }

    private static LabelPlacer Row(float y, float height) => new(new(new(Left, y), new(Right + 5, y + height)), .6f, .2f);

    private static void Label(LabelPlacer labels, Drawing page, Vector2 anchor, string text)
    {
        var size = new Vector2(PageLabels.WidthOf(text, Small) + .8f, Small);
        if (labels.TryPlace(anchor, size, out var rect))
        {
            var middle = (rect.Low + rect.High) / 2;
            page.Write(new(middle.X, middle.Y + (Small * .36f)), text, Small, centred: true);
        }
    }

    private float At(double seconds) =>
        Left + (float)((Math.Clamp(seconds, _answer.Asked.From, _answer.Asked.To) - _answer.Asked.From) / (_answer.Asked.To - _answer.Asked.From)
            * (Right - Left));

    /// <summary>The corners of a bar, never thinner than can be seen.</summary>
    private (Vector2 A, Vector2 B) Bar(double from, double to, float low, float high)
    {
        var (a, b) = (At(from), At(to));
        return (new(a, low), new(Math.Max(b, a + .9f), high));
    }

    /// <summary>In the bar on a plate of paper where it is long enough, else beside it.</summary>
    private void Label(LabelPlacer labels, (Vector2 A, Vector2 B) bar, string text)
    {
        var half = (PageLabels.WidthOf(text, Small) / 2) + .8f;
        var middle = (bar.A + bar.B) / 2;
        if (bar.B.X - bar.A.X < (2 * half) + 3)
        {
            Label(labels, Drawing, new(bar.B.X - .05f, middle.Y), text);
            return;
        }

        Drawing.Area(Box(middle.X - half, bar.A.Y + .3f, middle.X + half, bar.B.Y - .3f), 0, 1, 1);
        Drawing.Write(new(middle.X, middle.Y + (Small * .36f)), text, Small, centred: true);
    }

    private void Rule(float height) => Drawing.Line(new(Margin, _y + height), new(Width - Margin, _y + height), .1f, .7f);

    private void Lanes(PlaceFlashes place)
    {
        foreach (var (kind, lane) in ((FlashKind, int)[])[(FlashKind.General, 0), (FlashKind.Red, 1)])
        {
            var (low, high) = (_y + 1.2f + (lane * (Lane + .4f)), _y + .8f + Lane + (lane * (Lane + .4f)));
            var labels = Row(low - .5f, Lane + .6f);
            var spells = place.Spells.Select(s => s.Spell).Where(s => s.Kind == kind).OrderByDescending(s => s.Flashes).ToList();
            foreach (var s in spells)
            {
                var bar = Bar(s.From, s.To, low, high);
                labels.Reserve(new(bar.A, bar.B));
                if (kind == FlashKind.General)
                {
                    Drawing.Area(Box(bar.A.X, bar.A.Y, bar.B.X, bar.B.Y), .2f, 0, 0, ink: General);
                }
                else
                {
                    Hatched(bar.A, bar.B);
                }
            }

            foreach (var s in spells)
            {
                Label(labels, Bar(s.From, s.To, low, high), $"{s.Flashes}/s, {Share(s.AreaShare)}");
            }
        }
    }

    private void Hatched(Vector2 a, Vector2 b)
    {
        Drawing.Area(Box(a.X, a.Y, b.X, b.Y), .3f, 0, 1, ink: Red);
        var height = b.Y - a.Y;
        for (var x = a.X - height; x < b.X; x += 1.3f)
        {
            // From the lower edge up to the right, cut to the bar.
            var (from, to) = (Math.Max(x, a.X), Math.Min(x + height, b.X));
            if (to > from)
            {
                Drawing.Line(new(from, b.Y - (from - x)), new(to, b.Y - (to - x)), .35f, 0, Red);
            }
        }
    }

    private void LightAtTheEye(PlaceFlashes place, float top)
    {
        var points = place.Comfort!.Illuminance.Points;
        var most = points.Select(p => p.Largest).DefaultIfEmpty(0).Max();
        var decades = Math.Clamp((int)Math.Ceiling(Math.Log10(Math.Max(most, 10))), 1, 7);
        float Y(double lux) => top + Curve - (float)(Math.Log10(Math.Max(lux, 1)) / decades * Curve);
        for (var d = 0; d <= decades; d++)
        {
            var y = top + Curve - (Curve * d / decades);
            Drawing.Line(new(Left, y), new(Right, y), .08f, .75f);
            if (d == 0 || d == decades)
            {
                var text = Math.Pow(10, d).ToString("#,0", CultureInfo.InvariantCulture) + " lx";
                Drawing.Write(new(Left - 3 - PageLabels.WidthOf(text, Small), y + .9f), text, Small);
            }
        }

        Drawing.Write(new(Names, top + 4), FormattableString.Invariant($"light at the eye, up to {most:#,0} lx"), Small);
        if (points.Count == 0)
        {
            return;
        }

        var width = place.Comfort.Illuminance.Width / 2;
        Drawing.Area([.. points.Select(p => new Vector2(At(p.From + width), Y(p.Largest))),
            .. points.Reverse().Select(p => new Vector2(At(p.From + width), Y(p.Least)))], 0, 0, .75f);
        Drawing.Lines([.. points.Select(p => new Vector2(At(p.From + width), Y(p.Largest)))], .22f);
        var labels = Row(top - 3, Curve + 4);
        var worst = place.Comfort.WorstIlluminances.Where(m => m.Lux >= 1).ToList();
        foreach (var m in worst)
        {
            var at = new Vector2(At(m.Seconds), Y(m.Lux));
            Drawing.Area([at, at + new Vector2(-1, -1.8f), at + new Vector2(1, -1.8f)], .15f, 0, 0, ink: Bright);
            labels.Reserve(new(at + new Vector2(-1, -1.8f), at + new Vector2(1, .1f)));
        }

        for (var i = 0; i < worst.Count; i++)
        {
            Label(labels, Drawing, new Vector2(At(worst[i].Seconds), Y(worst[i].Lux) - 1.7f), (i + 1).ToString(CultureInfo.InvariantCulture));
        }
    }

    private void Axis()
    {
        var length = _answer.Asked.To - _answer.Asked.From;
        var step = new[] { .1, .5, 1, 2, 5, 10, 30, 60, 120, 300, 600, 1800, 3600 }.FirstOrDefault(s => length / s <= 24, 7200);
        for (var n = (long)Math.Ceiling((_answer.Asked.From / step) - 1e-9); n * step <= _answer.Asked.To + 1e-9; n++)
        {
            var x = At(n * step);
            Drawing.Line(new(x, Top - 4), new(x, Bottom), .08f, .8f);
            Drawing.Write(new(x, Top - 5), Clock(n * step), Small, centred: true);
        }

        Drawing.Line(new(Left, Top - 4), new(Right, Top - 4), .25f);
        Drawing.Line(new(Margin, Top), new(Width - Margin, Top), .25f);
        Drawing.Write(new(Names, Top - 5), "minutes and seconds of the recording", Small);
    }

    /// <summary>Names of cues in rows above the axis, each at its own time; a name that finds no room leaves its mark alone.</summary>
    private void Cues()
    {
        var free = new float[CueRows];
        var left = 0;
        foreach (var cue in _answer.Cues)
        {
            var x = At(cue.From);
            var width = PageLabels.WidthOf(cue.Name, Small) + 1.4f;
            var row = Array.FindIndex(free, f => f <= x && x + width <= Right + 5);
            Drawing.Line(new(x, Top - 4), new(x, Top - 2), .3f);
            if (row < 0)
            {
                left++;
                continue;
            }

            free[row] = x + width;
            var y = Margin + 21 + (row * 4.4f);
            Drawing.Line(new(x, y - 2.4f), new(x, Top - 8.6f), .1f, .6f);
            Drawing.Area(Box(x + .3f, y - 2.6f, x + width, y + 1), 0, 1, 1);
            Drawing.Shapes.Add(new DrawnShape([new(x + (width / 2), y)], false, 0, 0, null, cue.Name, Small, true));
        }

        if (_answer.Cues.Count > 0)
        {
            Drawing.Write(new(Names, Margin + 22), left == 0 ? "cues" : $"cues (names left out: {left})", Small);
        }
    }

    private void Legend()
    {
        var y = Bottom + 4;
        Drawing.Line(new(Margin, Bottom), new(Width - Margin, Bottom), .35f);
        Drawing.Area(Box(Names, y, Names + 10, y + Lane), .2f, 0, 0, ink: General);
        Drawing.Write(new(Names + 12, y + 3.4f), "general flashes", Size);
        Hatched(new(Names + 48, y), new(Names + 58, y + Lane));
        Drawing.Write(new(Names + 60, y + 3.4f), "red flashes", Size);
        Drawing.Area(Box(Names + 90, y, Names + 100, y + Lane), .2f, 0, .85f, ink: Strobe);
        for (var x = .7f; x < 10; x += 1.2f)
        {
            Drawing.Line(new(Names + 90 + x, y), new(Names + 90 + x, y + Lane), .3f, 0, Strobe);
        }

        Drawing.Write(new(Names + 102, y + 3.4f), "a fixture strobes", Size);
        Drawing.Lines([new(Names + 140, y + 3), new(Names + 144, y + 1), new(Names + 148, y + 3.4f)], .22f);
        Drawing.Write(new(Names + 150, y + 3.4f), "light at the eye, lx", Size);
        Drawing.Area([new(Names + 194, y + 3.4f), new(Names + 193, y + 1.6f), new(Names + 195, y + 1.6f)], .15f, 0, 0, ink: Bright);
        Drawing.Write(new(Names + 197, y + 3.4f), "the ten brightest moments, 1 the brightest", Size);
        Drawing.Write(new(Names + 268, y + 3.4f), "5/s, 40 %: flashes in a second, share of the view", Size);
        var l = _answer.Limits;
        Drawing.Write(new(Names, y + 11), FormattableString.Invariant(
            $"Listed: more than {l.MostFlashes} flashes within a second over more than {Share(l.FlashArea)} of {l.FieldDegrees:0.#} degrees of the view, or ")
            + FormattableString.Invariant($"of a camera's picture (WCAG 2.2, ITU-R BT.1702); fixtures above {l.StrobeRate:0.##} flashes a second."), Size);
        var words = Deference;
        for (var line = 0; words.Length > 0; line++)
        {
            var cut = words.Length;
            while (PageLabels.WidthOf(words[..cut], Size) > Width - (2 * Margin) - 12)
            {
                cut = words.LastIndexOf(' ', cut - 1);
            }

            Drawing.Write(new(Names, y + 16.5f + (line * 4.4f)), words[..cut], Size);
            words = words[cut..].TrimStart();
        }
    }
}
