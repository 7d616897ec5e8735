using System.Text.RegularExpressions;

namespace StageView.App.Tests.Docs;

/// <summary>What the pages point to is there, and they stay short.</summary>
public sealed partial class DocsLinkTests
{
    public static TheoryData<string> Pages => [.. DocsPage.All];

    [Theory]
    [MemberData(nameof(Pages))]
    public void Each_link_of_a_page_leads_to_a_file(string page)
    {
        var folder = Path.GetDirectoryName(Repo.File(page))!;
        var broken = Link().Matches(DocsPage.Read(page).Text).Select(m => m.Groups[1].Value.Split('#')[0])
            .Where(to => to.Length > 0 && !to.Contains("://", StringComparison.Ordinal) && !Path.Exists(Path.Combine(folder, to)));
        Assert.Empty(broken);
    }

    [Fact]
    public void Every_page_of_docs_is_reached_from_the_front_page_or_a_list_beside_it()
    {
        var reached = new HashSet<string>(StringComparer.Ordinal);
        var waiting = new Queue<string>(["README.md"]);
        while (waiting.TryDequeue(out var page))
        {
            if (!reached.Add(page) || !page.EndsWith(".md", StringComparison.Ordinal))
            {
                continue;
            }

            foreach (Match m in Link().Matches(DocsPage.Read(page).Text))
            {
                var to = Path.GetFullPath(Path.Combine(Path.GetDirectoryName(Repo.File(page))!, m.Groups[1].Value.Split('#')[0]));
                if (File.Exists(to))
                {
                    waiting.Enqueue(Path.GetRelativePath(Repo.Root, to).Replace('\\', '/'));
                }
            }
        }

        Assert.Empty(DocsPage.All.Except(reached));
        Assert.Empty(Directory.GetFiles(Repo.File("docs", "pictures")).Select(f => "docs/pictures/" + Path.GetFileName(f)).Except(reached));
    }

    // Three minutes at some 300 words a minute.
    [Fact]
    public void The_front_page_is_read_in_three_minutes() => Assert.InRange(Words("README.md"), 300, 1000);

    [Fact]
    public void A_page_for_users_keeps_to_its_subject() =>
        Assert.All(DocsPage.ForUsers, p => Assert.True(Words(p) <= 1200, $"{p}: {Words(p)} words"));

    // Places are written from the root of the checkout, those in a room from the room's name on; classes without their .cs.
    [Fact]
    public void What_the_guide_says_lies_somewhere_lies_there()
    {
        var rooms = Directory.GetDirectories(Repo.File("src")).ToDictionary(d => Path.GetFileName(d).Replace("StageView.", "", StringComparison.Ordinal));
        var places = Place().Matches(DocsPage.Read("DEVELOPERS.md").Text).Select(m => m.Groups[1].Value)
            .Where(p => rooms.ContainsKey(Top(p)) || Directory.Exists(Repo.File(Top(p)))).ToList();
        Assert.InRange(places.Count, 30, 200);
        Assert.DoesNotContain(places, p => !There(rooms.TryGetValue(Top(p), out var room) ? room + p[Top(p).Length..] : Repo.File(p)));
    }

    private static string Top(string place) => place[..place.IndexOf('/', StringComparison.Ordinal)];

    private static bool There(string path) => Path.Exists(path) || Path.Exists(path + ".cs");

    /// <summary>What is read as a word: the strokes of tables and lists are not.</summary>
    private static int Words(string page) => DocsPage.Read(page).Text.Split((char[]?)null).Count(w => w.Any(char.IsLetterOrDigit));

    [GeneratedRegex(@"\]\(([^)\s]+)\)")]
    private static partial Regex Link();

    [GeneratedRegex(@"`([A-Za-z]+/[A-Za-z0-9_./-]+)`")]
    private static partial Regex Place();
}
