using System.Text.RegularExpressions;

namespace StageView.App.Tests.Docs;

/// <summary>A page for people, read for what a reader copies from it: files and commands, in the order they stand.</summary>
internal sealed partial record DocsPage(string Name, string Text, IReadOnlyList<DocsBlock> Blocks)
{
    /// <summary>The pages for users, from the checkout's root.</summary>
    public static IEnumerable<string> ForUsers =>
        Directory.GetFiles(Repo.File("docs"), "*.md").Select(f => "docs/" + Path.GetFileName(f)).Order(StringComparer.Ordinal).Prepend("README.md");

    /// <summary>Every page, those for developers too.</summary>
    public static IEnumerable<string> All =>
        Directory.GetFiles(Repo.File("docs"), "*.md", SearchOption.AllDirectories).Concat(Directory.GetFiles(Repo.Root, "*.md"))
            .Select(f => Path.GetRelativePath(Repo.Root, f).Replace('\\', '/')).Order(StringComparer.Ordinal);

    public IEnumerable<DocsCommand> Commands => Blocks.SelectMany(b => b.Commands).Where(c => c.IsStageView);

    public static DocsPage Read(string name) => Parse(name, File.ReadAllText(Repo.File(name)));

    public static DocsPage Parse(string name, string text)
    {
        var blocks = new List<DocsBlock>();
        var lines = text.Split('\n');
        for (var i = 0; i < lines.Length;)
        {
            var start = i;
            if (Fence().Match(lines[i]) is { Success: true } fence)
            {
                for (i++; i < lines.Length && lines[i].TrimEnd() != fence.Groups["marks"].Value; i++)
                {
                }

                blocks.Add(new DocsBlock(fence.Groups["language"].Value, fence.Groups["file"].Value, start + 2, lines[(start + 1)..i]));
                i++;
            }
            else if (IsIndented(lines[i]) && (i == 0 || lines[i - 1].Trim().Length == 0))
            {
                for (; i < lines.Length && (IsIndented(lines[i]) || lines[i].Trim().Length == 0); i++)
                {
                }

                blocks.Add(new DocsBlock("", "", start + 1, [.. lines[start..i].Select(l => l.Length < 4 ? "" : l[4..])]));
            }
            else
            {
                i++;
            }
        }

        return new DocsPage(name, text, blocks);
    }

    private static bool IsIndented(string line) => line.StartsWith("    ", StringComparison.Ordinal) && line.Trim().Length > 0;

    // ```sh, or ```jsonc front.look.jsonc: the second word is the name under which a reader saves the block.
    [GeneratedRegex(@"^(?<marks>```+)(?<language>\S*)[ \t]*(?<file>\S*)\s*$")]
    private static partial Regex Fence();
}
