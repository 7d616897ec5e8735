using System.Globalization;
using System.Text;
using StageView.Rig.Pieces;

namespace StageView.Rig.Scene;

/// <summary>Maps from pixels to places in a picture as a table: a line a pixel, commas (RFC 4180), the first line names the columns.</summary>
public static class PixelMapCsv
{
    private static readonly string[] Columns = ["fixture", "geometry", "pixel", "u", "v", "width", "height", "address"];

    /// <summary>The table with all columns, places to a millionth.</summary>
    public static string Write(IEnumerable<PixelMapRow> rows)
    {
        ArgumentNullException.ThrowIfNull(rows);
        var text = new StringBuilder(string.Join(',', Columns)).Append('\n');
        foreach (var r in rows)
        {
            text.Append(CultureInfo.InvariantCulture,
                $"{Quoted(r.Fixture)},{Quoted(r.Geometry)},{r.Pixel},{r.U:0.######},{r.V:0.######},{r.Width:0.######},{r.Height:0.######},{r.Address}\n");
        }

        return text.ToString();
    }

    /// <summary>Reads a table: <c>fixture</c>, <c>pixel</c>, <c>u</c> and <c>v</c> must be there, in any order.</summary>
    /// <param name="text">The file.</param>
    /// <param name="most">Lines at most.</param>
    /// <param name="rows">A row a pixel; a missing geometry is empty, a missing size 0.</param>
    /// <param name="why">What is wrong, with its line.</param>
    public static bool TryRead(string text, int most, out IReadOnlyList<PixelMapRow> rows, out string why)
    {
        ArgumentNullException.ThrowIfNull(text);
        var found = new List<PixelMapRow>();
        rows = found;
        why = "";
        int[]? places = null;
        var line = 0;
        foreach (var raw in text.AsSpan().EnumerateLines())
        {
            line++;
            if (raw.IsWhiteSpace())
            {
                continue;
            }

            var cells = Cells(raw.ToString());
            if (places is null)
            {
                places = [.. Columns.Select(c => cells.FindIndex(cell => string.Equals(cell.Trim(), c, StringComparison.OrdinalIgnoreCase)))];
                if (new[] { 0, 2, 3, 4 }.FirstOrDefault(c => places[c] < 0, -1) is >= 0 and var missing)
                {
                    why = $"line {line}: the first line names no column \"{Columns[missing]}\"";
                    return false;
                }

                continue;
            }

            string Cell(int column) => places[column] >= 0 && places[column] < cells.Count ? cells[places[column]].Trim() : "";
            if (found.Count == most)
            {
                why = $"line {line}: more than {most} pixels";
                return false;
            }

            if (Cell(0).Length == 0 || !int.TryParse(Cell(2), NumberStyles.None, CultureInfo.InvariantCulture, out var pixel) || pixel < 1)
            {
                why = $"line {line}: needs a fixture and a pixel's number from 1";
                return false;
            }

            var numbers = new float[4];
            for (var i = 0; i < 4; i++)
            {
                var cell = Cell(3 + i);
                if (!(cell.Length == 0 && i > 1) && !(float.TryParse(cell, NumberStyles.Float, CultureInfo.InvariantCulture, out numbers[i])
                    && MathF.Abs(numbers[i]) <= 1000 && !(i > 1 && numbers[i] < 0)))
                {
                    why = $"line {line}: \"{Columns[3 + i]}\" should be a number, not \"{cell}\"";
                    return false;
                }
            }

            found.Add(new PixelMapRow(Cell(0), Cell(1), pixel, numbers[0], numbers[1], numbers[2], numbers[3], Cell(7)));
        }

        why = places is null ? "line 1: the file names no columns" : "";
        return places is not null;
    }

    private static string Quoted(string text) => text.AsSpan().ContainsAny(",\"\n\r") ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;

    private static List<string> Cells(string line)
    {
        var cells = new List<string>();
        var cell = new StringBuilder();
        var quoted = false;
        for (var i = 0; i < line.Length; i++)
        {
            var c = line[i];
            if (quoted && c == '"' && i + 1 < line.Length && line[i + 1] == '"')
            {
                cell.Append('"');
                i++;
            }
            else if (c == '"')
            {
                quoted = !quoted;
            }
            else if (c == ',' && !quoted)
            {
                cells.Add(cell.ToString());
                cell.Clear();
            }
            else
            {
                cell.Append(c);
            }
        }

        cells.Add(cell.ToString());
        return cells;
    }
}
