using System.Globalization;
using System.Net;
using System.Text;

namespace StageView.Show.Notes;

/// <summary>Notes as a list to work through, in order of show time.</summary>
public static class NotesList
{
    private const string Style = """
        body { font: 16px/1.4 system-ui, sans-serif; max-width: 60rem; margin: 1rem auto; padding: 0 1rem; color: #1a1a1a; background: #fff; }
        li { display: grid; grid-template-columns: 2rem minmax(0, 1fr); gap: .3rem .6rem; padding: .8rem 0; border-top: 1px solid #999; break-inside: avoid; }
        ol { list-style: none; padding: 0; } img { max-width: 100%; max-height: 22rem; } p { margin: .1rem 0; } input { width: 1.3rem; height: 1.3rem; }
        .when { font-size: 1.2rem; font-variant-numeric: tabular-nums; } .small { color: #444; font-size: .9rem; }
        """;

    /// <summary>As they are worked through: those of one source together, by its time.</summary>
    public static IReadOnlyList<ShowNote> InOrder(IEnumerable<ShowNote> notes) =>
        [.. notes.OrderBy(n => n.Source == "network").ThenBy(n => n.SourceName, StringComparer.Ordinal).ThenBy(n => n.Seconds).ThenBy(n => n.At)];

    /// <summary>Where a note stands in the show, such as <c>01:00:31:12 (0:31.5 of show.pcapng)</c>.</summary>
    public static string When(ShowNote note)
    {
        var time = TimeSpan.FromSeconds(note.Seconds);
        var seconds = string.Create(CultureInfo.InvariantCulture, $"{(int)time.TotalMinutes}:{time.Seconds + (time.Milliseconds / 1000.0):00.0}");
        var place = note.Source == "network" ? note.At.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) : $"{seconds} of {note.SourceName}";
        return note.Timecode is { } timecode ? $"{timecode} ({place})" : place;
    }

    /// <summary>The camera in numbers, m and degrees.</summary>
    public static string Camera(KeptCamera c) => string.Create(CultureInfo.InvariantCulture,
        $"{(c.Name.Length > 0 ? c.Name + ": " : "")}from {Point(c.Position)} to {Point(c.Target)}, {c.Fov:0.#}°, EV {c.Ev:0.#}");

    /// <summary>A page that needs nothing beside it: the pictures are in it, and each note has a box to tick.</summary>
    /// <param name="pictures">The folder with the pictures; one that is missing is left out.</param>
    public static string Html(string show, IEnumerable<ShowNote> notes, string pictures)
    {
        var page = new StringBuilder();
        page.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">")
            .Append(CultureInfo.InvariantCulture, $"<title>Notes: {Text(show)}</title><style>{Style}</style></head>\n")
            .Append(CultureInfo.InvariantCulture, $"<body><h1>Notes: {Text(show)}</h1>\n<ol>\n");
        foreach (var (note, i) in InOrder(notes).Select((n, i) => (n, i)))
        {
            page.Append(CultureInfo.InvariantCulture, $"<li><input type=\"checkbox\" id=\"n{i}\"{(note.Done ? " checked" : "")}><div>")
                .Append(CultureInfo.InvariantCulture, $"<label for=\"n{i}\"><span class=\"when\">{Text(When(note))}</span></label>")
                .Append(CultureInfo.InvariantCulture, $"<p>{Text(note.Text.Length > 0 ? note.Text : "(a mark)")}</p>")
                .Append(CultureInfo.InvariantCulture, $"<p class=\"small\">{Text(Camera(note.Camera))}</p>");
            if (PictureOf(note, pictures) is { } file)
            {
                page.Append(CultureInfo.InvariantCulture,
                    $"<p><img alt=\"What was seen\" src=\"data:image/jpeg;base64,{Convert.ToBase64String(File.ReadAllBytes(file))}\"></p>");
            }

            page.Append("</div></li>\n");
        }

        return page.Append("</ol></body></html>\n").ToString();
    }

    /// <summary>A row for each note, after RFC 4180.</summary>
    public static string Csv(IEnumerable<ShowNote> notes, string pictures)
    {
        var table = new StringBuilder("done,timecode,seconds,source,note,camera,written,picture\r\n");
        foreach (var n in InOrder(notes))
        {
            table.AppendJoin(',', new[]
            {
                n.Done ? "yes" : "no", n.Timecode ?? "", n.Seconds.ToString("0.###", CultureInfo.InvariantCulture),
                n.Source == "network" ? "network" : n.SourceName,
                n.Text, Camera(n.Camera), n.At.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture), PictureOf(n, pictures) ?? "",
            }.Select(Cell)).Append("\r\n");
        }

        return table.ToString();
    }

    /// <summary>A task list in Markdown; pictures are named by their path.</summary>
    /// <param name="relative">The folder that paths of pictures are written from.</param>
    public static string Markdown(string show, IEnumerable<ShowNote> notes, string pictures, string relative)
    {
        var text = new StringBuilder($"# Notes: {Line(show)}\n\n");
        foreach (var n in InOrder(notes))
        {
            text.Append(CultureInfo.InvariantCulture,
                $"- [{(n.Done ? 'x' : ' ')}] **{Line(When(n))}** {Line(n.Text.Length > 0 ? n.Text : "(a mark)")}  \n  {Line(Camera(n.Camera))}\n");
            if (PictureOf(n, pictures) is { } file)
            {
                text.Append(CultureInfo.InvariantCulture, $"\n  ![what was seen](<{Path.GetRelativePath(relative, file).Replace('\\', '/')}>)\n");
            }
        }

        return text.ToString();
    }

    private static string? PictureOf(ShowNote note, string pictures) =>
        note.Picture is { } name && name == Path.GetFileName(name) && Path.Combine(pictures, name) is var file && File.Exists(file) ? file : null;

    private static string Point(float[] p) => string.Join(", ", p.Select(v => v.ToString("0.##", CultureInfo.InvariantCulture)));

    private static string Text(string words) => WebUtility.HtmlEncode(words);

    // What begins like a formula would be one for a spreadsheet; a blank before it makes it text.
    private static string Cell(string words) =>
        (words.Length > 0 && words[0] is '=' or '+' or '-' or '@' ? " " + words : words) is var safe && safe.AsSpan().IndexOfAny(",\"\r\n") >= 0
            ? $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : safe;

    /// <summary>On one line, and nothing in it read as Markdown.</summary>
    private static string Line(string words)
    {
        var line = new StringBuilder();
        foreach (var c in words.ReplaceLineEndings(" "))
        {
            line.Append(c is '\\' or '`' or '*' or '_' or '[' or ']' or '<' or '>' or '#' or '|' ? "\\" : "").Append(c);
        }

        return line.ToString();
    }
}
