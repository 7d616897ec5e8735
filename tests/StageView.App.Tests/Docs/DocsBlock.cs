using System.Text.RegularExpressions;

namespace StageView.App.Tests.Docs;

/// <summary>A fenced or indented block of a page.</summary>
/// <param name="Language">First word after the fence; empty for an indented block.</param>
/// <param name="File">Second word: the name under which a reader saves the block; empty where it is no file.</param>
/// <param name="Line">Line of the page that <paramref name="Lines"/> begin at, from 1.</param>
/// <param name="Lines">What stands in it.</param>
internal sealed partial record DocsBlock(string Language, string File, int Line, IReadOnlyList<string> Lines)
{
    public bool IsShell => Language is "sh" or "";

    /// <summary>Lines of a shell, those that end with a backslash joined with the next; empty for other blocks.</summary>
    public IEnumerable<DocsCommand> Commands
    {
        get
        {
            for (var i = 0; IsShell && i < Lines.Count; i++)
            {
                var (line, words) = (Line + i, Lines[i].Trim());
                while (words.EndsWith('\\') && i + 1 < Lines.Count)
                {
                    words = words[..^1] + Lines[++i].Trim();
                }

                if (words.Length > 0 && !words.StartsWith('#'))
                {
                    var code = ExitCode().Match(words);
                    yield return new DocsCommand(line, words, code.Success ? code.Groups[1].Value[0] - '0' : 0,
                        words.Contains("# until Ctrl+C", StringComparison.Ordinal));
                }
            }
        }
    }

    [GeneratedRegex(@"# exit code ([0-3])\b")]
    private static partial Regex ExitCode();
}
