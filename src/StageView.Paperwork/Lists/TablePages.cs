using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Paperwork.Lists;

/// <summary>Lays lists out on A4 pages (landscape) for the PDF.</summary>
public static class TablePages
{
    private const float Width = 297;
    private const float Height = 210;
    private const float Margin = 14;
    private const float RowHeight = 4.6f;
    private const float Size = 2.7f;

    /// <param name="stamp">Its heading stands on top of every page, the rest at the foot.</param>
    /// <param name="tables">The lists.</param>
    public static IReadOnlyList<Drawing> Lay(PaperStamp stamp, IReadOnlyList<PaperTable> tables)
    {
        ArgumentNullException.ThrowIfNull(stamp);
        ArgumentNullException.ThrowIfNull(tables);
        var pages = new List<Drawing>();
        foreach (var t in tables)
        {
            var widths = Widths(t);
            var perPage = (int)((Height - (2 * Margin) - 16) / RowHeight);
            var notes = t.Notes.SelectMany(n => Wrapped(n, 165)).ToList();
            var lines = t.Rows.Count + notes.Count;
            for (var first = 0; first == 0 || first < lines; first += perPage)
            {
                var page = Start(stamp, t, pages.Count + 1, widths);
                for (var i = first; i < Math.Min(lines, first + perPage); i++)
                {
                    var y = Margin + 18 + ((i - first) * RowHeight);
                    if (i < t.Rows.Count)
                    {
                        Row(page, t.Rows[i], widths, y);
                        page.Line(new(Margin, y + 1.4f), new(Width - Margin, y + 1.4f), .08f, .75f);
                    }
                    else
                    {
                        page.Write(new(Margin, y + 1), notes[i - t.Rows.Count], Size);
                    }
                }

                pages.Add(page);
            }
        }

        return pages;
    }

    private static Drawing Start(PaperStamp stamp, PaperTable t, int number, float[] widths)
    {
        var page = new Drawing(t.Name, t.Title, Width, Height);
        page.Write(new(Margin, Margin + 3), $"{stamp.Heading}: {t.Title}", 4.4f);
        page.Write(new(Margin, Height - Margin + 4), stamp.Line, 2.4f);
        page.Write(new(Width - Margin - 16, Margin + 3), $"page {number}", Size);
        Row(page, t.Columns, widths, Margin + 12);
        page.Line(new(Margin, Margin + 13.6f), new(Width - Margin, Margin + 13.6f), .35f);
        return page;
    }

    private static void Row(Drawing page, IReadOnlyList<string> cells, float[] widths, float y)
    {
        var x = Margin;
        for (var c = 0; c < cells.Count; c++)
        {
            // A character takes about .52 of the size; what doesn't fit is cut with dots.
            var most = Math.Max(1, (int)(widths[c] / (Size * .52f)) - 1);
            var text = cells[c].Length <= most ? cells[c] : cells[c][..Math.Max(1, most - 2)] + "..";
            page.Write(new Vector2(x, y), text, Size);
            x += widths[c];
        }
    }

    private static float[] Widths(PaperTable t)
    {
        var want = t.Columns.Select((c, i) => Math.Clamp(t.Rows.Select(r => r[i].Length).Append(c.Length).Max(), 4, 34) + 2f).ToArray();
        var sum = want.Sum();
        return [.. want.Select(w => w / sum * (Width - (2 * Margin)))];
    }

    private static IEnumerable<string> Wrapped(string text, int most)
    {
        var line = "";
        foreach (var word in text.Split(' '))
        {
            if (line.Length + word.Length + 1 > most)
            {
                yield return line;
                line = "";
            }

            line = line.Length == 0 ? word : line + " " + word;
        }

        yield return line;
    }
}
