using System.Text;

namespace StageView.Live.Tests.Page;

/// <summary>The counts of actions, a row a task: <c>docs/measurements/tasks.md</c>.</summary>
internal static class TaskTable
{
    private static readonly string[] s_ways = ["phone, touch", "tablet, touch", "desktop, mouse", "desktop, keys"];

    private static string Page => Repo.File("docs", "measurements", "tasks.md");

    /// <summary>What a task may take at most, by touch or mouse and by keys, as it stands there.</summary>
    public static string Bounds(string task) => Cell(task, 2 + s_ways.Length);

    private static string Cell(string task, int column) =>
        File.Exists(Page) && File.ReadAllLines(Page).Select(l => l.Split('|', StringSplitOptions.TrimEntries))
            .FirstOrDefault(c => c.Length > column && c[1] == task) is { } cells ? cells[column] : "";

    /// <summary>Writes the page with a column counted anew; the others stay.</summary>
    public static void Write(string way, IReadOnlyList<(string Task, int Most, int MostKeys, string What, int Count)> rows)
    {
        var text = new StringBuilder("""
            # tasks

            Written by `./dev bench tasks`; what stands in these files is told in [README.md](README.md).

            What somebody does with the page of `live` in a night, driven in a browser, and how many actions each task takes from a
            page just opened. A click, a tap, a drag, a swipe that scrolls and a key are one each, and so is each letter that is typed;
            an entry of a list is two by mouse and touch. A phone is 390 x 844 CSS pixels, a tablet 820 x 1180, a desktop 1440 x 900. `TaskTests`
            hold each count at its bound: by touch and mouse, and by keys.


            """);
        text.Append(null, $"| task | {string.Join(" | ", s_ways)} | at most | what is done |\n");
        text.Append(null, $"| --- |{string.Concat(s_ways.Select(_ => " ---: |"))} ---: | --- |\n");
        foreach (var (task, most, mostKeys, what, count) in rows)
        {
            var cells = s_ways.Select((w, i) => w == way ? count.ToString(null, null) : Cell(task, 2 + i));
            text.Append(null, $"| {task} | {string.Join(" | ", cells)} | {most} and {mostKeys} | {what} |\n");
        }

        File.WriteAllText(Page, text.ToString());
    }
}
