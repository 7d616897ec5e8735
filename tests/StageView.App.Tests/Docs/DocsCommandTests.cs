using System.Text;
using System.Text.RegularExpressions;
using StageView.App.Verbs;

namespace StageView.App.Tests.Docs;

/// <summary>
/// What the pages for users tell a reader to type is typed, page by page, in a folder like a fresh checkout's, and what they show as an answer (blocks
/// marked <c>text</c>; … stands for the rest of a line) is looked for in what was said. Some of it listens to the network.
/// </summary>
[Collection("network ports")]
public sealed partial class DocsCommandTests
{
    // Commands that no test machine can run as they stand, and why. A page's other commands are all run.
    private static readonly Dictionary<string, string> s_notRun = new(StringComparer.Ordinal)
    {
        ["--listen 10.0.0.20"] = "needs a network card with that address",
        ["--serve 10.0.0.20"] = "needs a network card with that address",
        ["--serve fd00::20"] = "needs a network card with that address",
        ["--serve ::"] = "opens the page to every network of the machine",
        ["--address 10.0.0.20"] = "needs a network card with that address",
        ["--to 10.0.0.30"] = "sends to another machine",
        ["stageview demo"] = "draws nine large pictures",
    };

    // What else may begin a line of a shell on these pages.
    private static readonly string[] s_others =
        ["./dev", "sbatch", "kubectl", "docker", "ffmpeg", "git", "npx", "node", "cp", "for", "OUT=out/show.mp4", "JOB=2", "JOBS=5",
            "tests/StageView.Benchmarks/rivals/table.sh"];

    public static TheoryData<string> Pages => [.. DocsPage.ForUsers.Where(p => DocsPage.Read(p).Commands.Any())];

    [Theory]
    [MemberData(nameof(Pages))]
    public async Task Each_command_of_a_page_ends_as_the_page_says(string page)
    {
        using var desk = new DocsDesk();
        var (wrong, said) = (new StringBuilder(), new StringBuilder());
        foreach (var block in DocsPage.Read(page).Blocks)
        {
            if (block.File.Length > 0)
            {
                desk.Save(block);
            }

            foreach (var line in block.Lines.Where(l => block.Language == "text" && !said.ToString().Contains(l.TrimEnd('…', ' '), StringComparison.Ordinal)))
            {
                wrong.AppendLine($"{page}:{block.Line}: no command before it said: {line}");
            }

            foreach (var command in block.Commands.Where(c => c.IsStageView && !s_notRun.Keys.Any(k => c.Words.Contains(k, StringComparison.Ordinal))))
            {
                var run = await desk.Run(command);
                said.AppendLine(run.Output).AppendLine(run.Errors);
                Assert.SkipWhen(run.ExitCode == 3 && command.ExitCode != 3, $"{page}:{command.Line}: {command.Words}: this machine can't: {run.Errors.Trim()}");
                // A busy machine may not have ended in the seconds that are given it after Ctrl+C, which is told with 130, as shells do.
                if (run.ExitCode != command.ExitCode && !(command.UntilStopped && run.ExitCode == 130))
                {
                    wrong.AppendLine($"{page}:{command.Line}: {command.Words}")
                        .AppendLine($"  ended with {run.ExitCode}, the page says {command.ExitCode}: {run.Errors.Trim()}");
                }
            }
        }

        Assert.True(wrong.Length == 0, wrong.ToString());
    }

    [Fact]
    public void Every_verb_is_in_the_front_page_s_table_and_in_a_command_of_a_page()
    {
        var verbs = AllVerbs.Build().Where(v => !v.Hidden).Select(v => v.Name).Order(StringComparer.Ordinal).ToArray();
        var table = TableVerb().Matches(DocsPage.Read("README.md").Text).Select(m => m.Groups[1].Value).Order(StringComparer.Ordinal);
        Assert.Equal(verbs, table);
        Assert.Empty(verbs.Except(DocsPage.ForUsers.SelectMany(p => DocsPage.Read(p).Commands).Select(c => c.Verb)));
    }

    [Fact]
    public void A_line_of_a_shell_begins_with_a_program_that_is_meant()
    {
        var strays = DocsPage.ForUsers.SelectMany(p => DocsPage.Read(p).Blocks.Where(b => b.Language == "sh").SelectMany(b => b.Commands)
            .Where(c => !c.IsStageView && !s_others.Contains(c.Words.Split(' ')[0])).Select(c => $"{p}:{c.Line}: {c.Words}"));
        Assert.Empty(strays);
    }

    [Fact]
    public void Verbs_and_errands_named_in_a_sentence_are_there()
    {
        var errands = ErrandLine().Matches(File.ReadAllText(Repo.File("dev"))).SelectMany(m => m.Groups[1].Value.Split('|')).ToHashSet(StringComparer.Ordinal);
        Assert.Contains("demo", errands);
        var verbs = AllVerbs.Build().Select(v => v.Name).ToHashSet(StringComparer.Ordinal);
        var strays = DocsPage.All.SelectMany(p => NamedInSentence().Matches(DocsPage.Read(p).Text)
            .Where(m => !(m.Groups[1].Value == "stageview" ? verbs : errands).Contains(m.Groups[2].Value)).Select(m => $"{p}: {m.Value}"));
        Assert.Empty(strays);
    }

    [Fact]
    public void What_is_said_not_to_be_run_still_stands_on_a_page() =>
        Assert.All(s_notRun.Keys, k =>
            Assert.Contains(DocsPage.ForUsers.SelectMany(p => DocsPage.Read(p).Commands), c => c.Words.Contains(k, StringComparison.Ordinal)));

    [Fact]
    public void Commands_are_read_from_fenced_and_indented_blocks_with_what_they_end_with()
    {
        var page = DocsPage.Parse("a page", """
            Text.

                stageview check a.rig.jsonc    # exit code 1: it says why

            ```sh
            ./dev stageview lux a.rig.jsonc \
                --on floor
            stageview live a.rig.jsonc # until Ctrl+C
            ./dev test
            ```

            ```text
            stageview is not asked here
            ```

            ```jsonc a.rig.jsonc
            { "name": "a" }
            ```
            """);
        Assert.Equal(
            [
                new DocsCommand(3, "stageview check a.rig.jsonc    # exit code 1: it says why", 1, false),
                new DocsCommand(6, "./dev stageview lux a.rig.jsonc --on floor", 0, false),
                new DocsCommand(8, "stageview live a.rig.jsonc # until Ctrl+C", 0, true),
            ],
            page.Commands);
        Assert.Equal(["check", "lux", "live"], page.Commands.Select(c => c.Verb));
        Assert.Equal("a.rig.jsonc", page.Blocks[^1].File);
    }

    [GeneratedRegex(@"^\| `([a-z]+)`", RegexOptions.Multiline)]
    private static partial Regex TableVerb();

    [GeneratedRegex(@"^  ([a-z|-]+)\)", RegexOptions.Multiline)]
    private static partial Regex ErrandLine();

    [GeneratedRegex(@"(?<=`)(?:\./)?(stageview|dev) ([a-z]+)")]
    private static partial Regex NamedInSentence();
}
