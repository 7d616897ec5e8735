using System.Text;
using StageView.Ground.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Sets;

namespace StageView.Snapshot.Report;

/// <summary>Writes the answer into a folder: <c>report.html</c> (one file, nothing fetched), <c>summary.md</c>, <c>junit.xml</c>, <c>report.json</c>.</summary>
public static class ReportWriter
{
    /// <returns>The page's path.</returns>
    public static string Write(SetResult result, string folder, ReportOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(result);
        Directory.CreateDirectory(folder);
        SnapshotJson.Write(ReportJson.Of(result), Path.Combine(folder, "report.json"));
        WholeFile.WriteText(Path.Combine(folder, "summary.md"), MarkdownSummary.Of(result, (options ?? new ReportOptions()).Title));
        JunitXml.Write(result, Path.Combine(folder, "junit.xml"));
        var page = Path.Combine(folder, "report.html");
        WholeFile.Write(page, to =>
        {
            using var file = new StreamWriter(to, new UTF8Encoding(false), leaveOpen: true);
            HtmlPage.Write(result, folder, options ?? new ReportOptions(), file);
        });
        return page;
    }
}
