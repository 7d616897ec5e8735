using System.Net;
using System.Text;

namespace StageView.Paperwork.Lists;

/// <summary>Lists as CSV (RFC 4180) and as one HTML page that prints well.</summary>
public static class TableWriters
{
    /// <summary>
    /// A table with notes has a last column for them, from its first row down, so that the file stays a table and the notes travel with it. Those that find no
    /// row of their own stand together in the last.
    /// </summary>
    public static string Csv(PaperTable table)
    {
        ArgumentNullException.ThrowIfNull(table);
        var b = new StringBuilder();
        var noted = table.Notes.Count > 0;
        IReadOnlyList<IReadOnlyList<string>> rows = noted && table.Rows.Count == 0 ? [[.. table.Columns.Select(_ => "")]] : table.Rows;
        Line(table.Columns, "Notes");
        for (var i = 0; i < rows.Count; i++)
        {
            Line(rows[i], i < rows.Count - 1 ? table.Notes.ElementAtOrDefault(i) ?? "" : string.Join(' ', table.Notes.Skip(i)));
        }

        return b.ToString();

        void Line(IReadOnlyList<string> cells, string note) =>
            b.AppendJoin(',', cells.Concat(noted ? (string[])[note] : []).Select(Cell)).Append("\r\n");
    }

    /// <param name="stamp">Stands under the heading of the page and of every list, which may be printed by itself.</param>
    /// <param name="tables">The lists.</param>
    public static string Html(PaperStamp stamp, IReadOnlyList<PaperTable> tables)
    {
        ArgumentNullException.ThrowIfNull(stamp);
        ArgumentNullException.ThrowIfNull(tables);
        var made = $"<p class=\"note\">{Text(stamp.Line)}</p>\n";
        var b = new StringBuilder();
        b.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>").Append(Text(stamp.Heading))
            .Append(": paperwork</title>\n<style>\n")
            .Append("body{font:11pt/1.4 sans-serif;margin:2em;color:#111;background:#fff}h2{margin:2em 0 .4em}table{border-collapse:collapse;width:100%}\n")
            .Append("th,td{border-bottom:1px solid #bbb;padding:.15em .6em .15em 0;text-align:left;vertical-align:top}thead{display:table-header-group}\n")
            .Append(
                "p.note{max-width:60em}@media "
                + "print{h2{break-before:page}h2:first-of-type{break-before:auto}tr{break-inside:avoid}}\n</style></head><body>\n<h1>")
            .Append(Text(stamp.Heading)).Append("</h1>\n").Append(made).Append("<nav><ul>");
        foreach (var t in tables)
        {
            b.Append("<li><a href=\"#").Append(t.Name).Append("\">").Append(Text(t.Title)).Append("</a></li>");
        }

        b.Append("</ul></nav>\n");
        foreach (var t in tables)
        {
            b.Append("<h2 id=\"").Append(t.Name).Append("\">").Append(Text(t.Title)).Append("</h2>\n").Append(made).Append("<table><thead><tr>");
            b.AppendJoin("", t.Columns.Select(c => $"<th scope=\"col\">{Text(c)}</th>")).Append("</tr></thead><tbody>\n");
            foreach (var r in t.Rows)
            {
                b.Append("<tr>").AppendJoin("", r.Select(c => $"<td>{Text(c)}</td>")).Append("</tr>\n");
            }

            b.Append("</tbody></table>\n");
            foreach (var n in t.Notes)
            {
                b.Append("<p class=\"note\">").Append(Text(n)).Append("</p>\n");
            }
        }

        return b.Append("</body></html>\n").ToString();
    }

    /// <summary>Quoted where needed; a cell that a spreadsheet would take for a formula gets an apostrophe.</summary>
    private static string Cell(string text)
    {
        var number = double.TryParse(text, System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out _);
        if (text.Length > 0 && text[0] is '=' or '+' or '@' or '-' && !number)
        {
            text = "'" + text;
        }

        return text.AsSpan().IndexOfAny(",\"\r\n") >= 0 ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
    }

    private static string Text(string s) => WebUtility.HtmlEncode(s);
}
