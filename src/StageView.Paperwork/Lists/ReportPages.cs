using System.Globalization;
using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Paperwork.Lists;

/// <summary>
/// Lays headings, paragraphs, tables and blanks out on A4 pages (landscape), one after another; what is too long for its place goes on below.
/// </summary>
/// <param name="name">File name of the pages.</param>
/// <param name="title">Stands on top of each page.</param>
/// <param name="foot">Stands at the foot of each page.</param>
public sealed class ReportPages(string name, string title, string foot)
{
    private const float Width = 297;
    private const float Height = 210;
    private const float Margin = 14;
    private const float Bottom = Height - Margin - 8;
    private const float Room = Width - (2 * Margin);
    private const float Size = 2.8f;
    private const float Line = 4;
    private const float Gap = 3.4f;
    private const float Narrow = 24;
    private readonly List<Drawing> _pages = [];
    private float _y = float.MaxValue;

    /// <summary>Goes on on a new page.</summary>
    public void Break() => _y = float.MaxValue;

    public void Heading(string text, float size = 4.2f)
    {
        Need(size + (4 * Line));
        _y += size + 2;
        Page.Write(new Vector2(Margin, _y), text, size);
        _y += 3.4f;
    }

    public void Paragraph(string text, float size = Size)
    {
        foreach (var line in Wrapped(text, Room, size))
        {
            Need(Line * size / Size);
            _y += Line * size / Size;
            Page.Write(new Vector2(Margin, _y), line, size);
        }

        _y += 1.4f;
    }

    /// <param name="columns">Heads.</param>
    /// <param name="rows">A cell a column; long ones are wrapped.</param>
    public void Table(IReadOnlyList<string> columns, IReadOnlyList<IReadOnlyList<string>> rows)
    {
        ArgumentNullException.ThrowIfNull(columns);
        ArgumentNullException.ThrowIfNull(rows);
        var widths = Widths(columns, rows);
        Head(columns, widths);
        foreach (var row in rows)
        {
            var cells = row.Select((c, i) => Wrapped(c, widths[i] - Gap + 0.1f, Size).ToList()).ToList();
            var height = (cells.Max(c => c.Count) * Line) + 1;
            if (_y + height > Bottom)
            {
                Break();
                Need(height);
                Head(columns, widths);
            }

            Cells(cells, widths);
            _y += height;
            Page.Line(new Vector2(Margin, _y + 0.2f), new Vector2(Width - Margin, _y + 0.2f), .08f, .7f);
        }

        _y += 3;
    }

    /// <summary>A line to write on.</summary>
    public void Blank(string label)
    {
        Need(10);
        _y += 9;
        Page.Write(new Vector2(Margin, _y), label, Size);
        Page.Line(new Vector2(Margin + 78, _y + 0.6f), new Vector2(Width - Margin, _y + 0.6f), .2f);
    }

    /// <summary>Bars over time, one row a name.</summary>
    /// <param name="rows">Names with their spells, s.</param>
    /// <param name="from">Left end, s.</param>
    /// <param name="to">Right end, s, above <paramref name="from"/>.</param>
    public void Bars(IReadOnlyList<(string Name, IReadOnlyList<(double From, double To)> Spells)> rows, double from, double to)
    {
        ArgumentNullException.ThrowIfNull(rows);
        const float left = Margin + 50;
        const float span = Width - Margin - left - 4;
        float At(double s) => left + (float)((s - from) / (to - from) * span);
        for (var first = 0; first < rows.Count; first += 24)
        {
            var some = rows.Skip(first).Take(24).ToList();
            Need((some.Count * 5) + 14);
            var top = _y + 2;
            foreach (var (row, spells) in some)
            {
                _y += 5;
                Page.Write(new Vector2(Margin, _y), Wrapped(row, 48, Size).First(), Size);
                foreach (var (a, b) in spells)
                {
                    var (x0, x1) = (At(a), Math.Max(At(b), At(a) + 0.4f));
                    Page.Area([new(x0, _y - 2.6f), new(x1, _y - 2.6f), new(x1, _y + 0.4f), new(x0, _y + 0.4f)], .12f, 0, .45f);
                }
            }

            _y += 2;
            Page.Line(new Vector2(left, _y), new Vector2(left + span, _y), .2f);
            var step = Step(to - from);
            for (var s = Math.Ceiling(from / step) * step; s <= to + 1e-9; s += step)
            {
                Page.Line(new Vector2(At(s), top), new Vector2(At(s), _y + 1), .08f, .7f);
                Page.Write(new Vector2(At(s), _y + 4), s.ToString("0.##", CultureInfo.InvariantCulture) + " s", 2.4f, centred: true);
            }

            _y += 8;
        }
    }

    /// <summary>The pages so far, numbered among <paramref name="of"/>, counted on from <paramref name="first"/>.</summary>
    public IReadOnlyList<Drawing> Numbered(int first, int of)
    {
        for (var i = 0; i < _pages.Count; i++)
        {
            var text = string.Create(CultureInfo.InvariantCulture, $"page {first + i} of {of}");
            _pages[i].Write(new Vector2(Width - Margin - PageLabels.WidthOf(text, Size), Height - Margin), text, Size);
        }

        return _pages;
    }

    public int Count => _pages.Count;

    private Drawing Page => _pages[^1];

    private void Need(float height)
    {
        if (_y + height <= Bottom)
        {
            return;
        }

        var page = new Drawing(name, title, Width, Height);
        page.Write(new Vector2(Margin, Margin), title, 3.2f);
        page.Line(new Vector2(Margin, Margin + 1.6f), new Vector2(Width - Margin, Margin + 1.6f), .25f);
        page.Line(new Vector2(Margin, Height - Margin - 4), new Vector2(Width - Margin, Height - Margin - 4), .12f, .5f);
        page.Write(new Vector2(Margin, Height - Margin), foot, 2.4f);
        _pages.Add(page);
        _y = Margin + 4;
    }

    private void Head(IReadOnlyList<string> columns, float[] widths)
    {
        var cells = columns.Select((c, i) => Wrapped(c, widths[i] - Gap + 0.1f, Size).ToList()).ToList();
        var height = (cells.Max(c => c.Count) * Line) + 1.6f;
        Need(height + (3 * Line));
        Cells(cells, widths);
        _y += height;
        Page.Line(new Vector2(Margin, _y), new Vector2(Width - Margin, _y), .35f);
    }

    private void Cells(List<List<string>> cells, float[] widths)
    {
        var x = Margin;
        for (var c = 0; c < cells.Count; c++)
        {
            for (var l = 0; l < cells[c].Count; l++)
            {
                Page.Write(new Vector2(x, _y + ((l + 1) * Line) - 0.4f), cells[c][l], Size);
            }

            x += widths[c];
        }
    }

    /// <summary>Narrow columns get what their texts ask for, wide ones at least their longest word, and share what is left.</summary>
    private static float[] Widths(IReadOnlyList<string> columns, IReadOnlyList<IReadOnlyList<string>> rows)
    {
        var texts = columns.Select((c, i) => rows.Select(r => r[i]).Append(c).ToList()).ToList();
        var want = texts.Select(t => t.Max(s => WidthOf(s, Size)) + Gap).ToArray();
        var least = texts.Select((t, i) => want[i] < Narrow ? want[i] : t.SelectMany(s => s.Split(' ')).Max(w => WidthOf(w, Size)) + Gap).ToArray();
        var more = Math.Max(0, Room - least.Sum());
        var asked = want.Zip(least, (w, l) => Math.Max(0, w - l)).ToArray();
        var share = asked.Sum() > 0 ? Math.Min(1, more / asked.Sum()) : 0;
        return [.. least.Select((l, i) => l + (asked[i] * share))];
    }

    private static float WidthOf(string text, float size) => PageLabels.WidthOf(text, size) * 1.06f;

    private static IEnumerable<string> Wrapped(string text, float width, float size)
    {
        var line = "";
        foreach (var word in text.Split(' '))
        {
            var longer = line.Length == 0 ? word : line + " " + word;
            if (line.Length > 0 && WidthOf(longer, size) > width)
            {
                yield return line;
                longer = word;
            }

            line = longer;
        }

        yield return line;
    }

    private static double Step(double span)
    {
        var raw = span / 10;
        var power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        return power * (raw / power is var m && m <= 1 ? 1 : m <= 2 ? 2 : m <= 5 ? 5 : 10);
    }
}
