using System.Globalization;
using System.Text;
using StageView.Ground.Drawings;

namespace StageView.Paperwork.Lists;

/// <summary>Drawings as PDF 1.4 (ISO 32000): one page each, vector lines, Helvetica of the base fonts, Latin-1 text.</summary>
public static class PdfWriter
{
    private const float PointsPerMillimetre = 72 / 25.4f;

    public static byte[] Write(IReadOnlyList<Drawing> pages)
    {
        ArgumentNullException.ThrowIfNull(pages);
        using var file = new MemoryStream();
        var starts = new List<long>();
        Put("%PDF-1.4\n");
        var kids = string.Join(' ', pages.Select((_, i) => $"{4 + (i * 2)} 0 R"));
        Item("<< /Type /Catalog /Pages 2 0 R >>");
        Item($"<< /Type /Pages /Kids [{kids}] /Count {pages.Count} >>");
        Item("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>");
        for (var i = 0; i < pages.Count; i++)
        {
            var content = Content(pages[i]);
            Item(string.Create(CultureInfo.InvariantCulture, $"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {pages[i].Width * PointsPerMillimetre:0.##} {pages[i].Height * PointsPerMillimetre:0.##}] /Resources << /Font << /F1 3 0 R >> >> /Contents {5 + (i * 2)} 0 R >>"));
            Item($"<< /Length {Encoding.Latin1.GetByteCount(content)} >>\nstream\n{content}\nendstream");
        }

        var table = file.Position;
        Put(string.Create(CultureInfo.InvariantCulture, $"xref\n0 {starts.Count + 1}\n0000000000 65535 f \n"));
        foreach (var s in starts)
        {
            Put(string.Create(CultureInfo.InvariantCulture, $"{s:0000000000} 00000 n \n"));
        }

        Put(string.Create(CultureInfo.InvariantCulture, $"trailer\n<< /Size {starts.Count + 1} /Root 1 0 R >>\nstartxref\n{table}\n%%EOF\n"));
        return file.ToArray();

        void Put(string text) => file.Write(Encoding.Latin1.GetBytes(text));

        void Item(string body)
        {
            starts.Add(file.Position);
            Put(string.Create(CultureInfo.InvariantCulture, $"{starts.Count} 0 obj\n{body}\nendobj\n"));
        }
    }

    private static string Content(Drawing page)
    {
        var b = new StringBuilder();
        var k = PointsPerMillimetre;
        foreach (var s in page.Shapes)
        {
            if (s.Text.Length > 0)
            {
                var shift = s.Centred ? LabelPlacer.WidthOf(s.Text, s.TextSize) / 2 * k : 0;
                b.Append(CultureInfo.InvariantCulture, $"0 g BT /F1 {s.TextSize * k:0.##} Tf {(s.Points[0].X * k) - shift:0.##} {(page.Height - s.Points[0].Y) * k:0.##} Td ({Escaped(s.Text)}) Tj ET\n");
                continue;
            }

            b.Append(CultureInfo.InvariantCulture, $"{s.Stroke * k:0.##} w {s.Grey:0.##} G ");
            if (s.Fill is { } f)
            {
                b.Append(CultureInfo.InvariantCulture, $"{f:0.##} g ");
            }

            foreach (var outline in s.More.Prepend(s.Points))
            {
                for (var i = 0; i < outline.Length; i++)
                {
                    b.Append(CultureInfo.InvariantCulture, $"{outline[i].X * k:0.##} {(page.Height - outline[i].Y) * k:0.##} {(i == 0 ? 'm' : 'l')} ");
                }

                b.Append(s.Closed ? "h " : "");
            }

            b.Append((s.Closed, s.Fill is not null) switch { (true, true) => s.Stroke > 0 ? "B*\n" : "f*\n", _ => "S\n" });
        }

        return b.ToString();
    }

    private static string Escaped(string text)
    {
        var b = new StringBuilder();
        foreach (var c in text)
        {
            b.Append(c switch { '(' => "\\(", ')' => "\\)", '\\' => "\\\\", < ' ' => " ", > 'ÿ' => "?", _ => c.ToString() });
        }

        return b.ToString();
    }
}
