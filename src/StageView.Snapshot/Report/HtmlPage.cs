using System.Text;
using System.Text.Json;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Report;

/// <summary>The report as one HTML file: style, script, data and pictures are all in it. Written as a stream; one picture is in memory at a time.</summary>
internal static class HtmlPage
{
    public static void Write(SetResult result, string folder, ReportOptions options, TextWriter to)
    {
        var shown = result.Frames.Select((f, i) => (Frame: f, Index: i)).Where(f => f.Frame.IsDifference).Take(options.MostPictures).ToList();
        var template = Resource("report.html");
        var data = JsonSerializer.Serialize(Data(result, options, shown.Select(s => s.Index).ToHashSet()), _json);
        var (head, tail) = Split(template
            .Replace("/*STYLE*/", Resource("report.css"), StringComparison.Ordinal)
            .Replace("/*SCRIPT*/", Resource("report.js"), StringComparison.Ordinal));
        var (beforeData, afterData) = (head[..head.IndexOf("/*DATA*/", StringComparison.Ordinal)],
            head[(head.IndexOf("/*DATA*/", StringComparison.Ordinal) + 8)..]);
        to.Write(beforeData);
        to.Write(data);
        to.Write(afterData);
        var pictures = new ReportPictures(options, folder);
        foreach (var (frame, index) in shown)
        {
            Picture(to, pictures, $"b{index}", frame.BaseFile);
            Picture(to, pictures, $"a{index}", frame.NewFile);
            Picture(to, pictures, $"d{index}", frame.DifferenceFile is { } d ? Path.Combine(folder, d) : null);
        }

        to.Write(tail);
    }

    // The default encoder escapes <, > and &, so that no name in the data can end the script it lies in.
    private static readonly JsonSerializerOptions _json = new(SnapshotJson.Line) { Encoder = System.Text.Encodings.Web.JavaScriptEncoder.Default };

    private static object Data(SetResult result, ReportOptions options, HashSet<int> shown)
    {
        var settings = result.Frames.Select(f => string.Join('\n', f.Settings)).Distinct().ToList();
        return new
        {
            title = options.Title,
            summary = result.Summary(),
            @base = result.BaseFolder,
            @new = result.NewFolder,
            causes = result.Causes.Select(CauseData),
            settings,
            frames = result.Frames.Select((f, i) => new
            {
                name = f.Name,
                verdict = f.Verdict,
                camera = f.Camera,
                seconds = f.Seconds,
                timecode = f.Timecode,
                says = FrameWords.Say(f),
                share = f.ChangedShare,
                levels = f.LargestLevels,
                pictures = shown.Contains(i),
                settings = settings.IndexOf(string.Join('\n', f.Settings)),
                causes = CauseFold.Of(f.Causes).Take(60).Select(CauseData),
                more = Math.Max(0, CauseFold.Of(f.Causes).Count - 60),
            }),
        };
    }

    private static object CauseData(Cause c) => new { kind = c.Kind, text = c.Text, share = c.Share, follows = c.Follows };

    private static void Picture(TextWriter to, ReportPictures pictures, string id, string? file)
    {
        string? beside = null;
        if (file is not null && pictures.TryEncode(file, id, out var type, out var bytes, out beside))
        {
            to.Write($"<script type=\"text/plain\" id=\"{id}\" data-type=\"{type}\"{(beside is null ? "" : $" data-beside=\"{beside}\"")}>");
            // 3-byte groups, so that pieces of the text join without padding in between.
            for (var i = 0; i < bytes.Length; i += 48 * 1024)
            {
                to.Write(Convert.ToBase64String(bytes.AsSpan(i, Math.Min(48 * 1024, bytes.Length - i))));
            }

            to.Write("</script>\n");
        }
        else if (beside is not null)
        {
            to.Write($"<script type=\"text/plain\" id=\"{id}\" data-beside=\"{beside}\"></script>\n");
        }
    }

    private static (string Head, string Tail) Split(string page)
    {
        const string mark = "<!--PICTURES-->";
        var at = page.IndexOf(mark, StringComparison.Ordinal);
        return (page[..at], page[(at + mark.Length)..]);
    }

    private static string Resource(string name)
    {
        using var stream = typeof(HtmlPage).Assembly.GetManifestResourceStream("page/" + name)!;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
