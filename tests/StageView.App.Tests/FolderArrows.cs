using System.Text.RegularExpressions;

namespace StageView.App.Tests;

/// <summary>A source file of a room.</summary>
/// <param name="Path">From the checkout's root, with forward slashes.</param>
/// <param name="Text">What it holds.</param>
internal sealed record SourceFile(string Path, string Text)
{
    /// <summary>The namespace that its folder stands for: <c>src/StageView.Rig/Gdtf/A.cs</c> is <c>StageView.Rig.Gdtf</c>.</summary>
    public string Folder { get; } = string.Join('.', Path.Split('/')[1..^1]);

    /// <summary>All sources of a folder of the checkout.</summary>
    public static IEnumerable<SourceFile> Under(string folder) =>
        Directory.EnumerateFiles(Repo.File(folder), "*.cs", SearchOption.AllDirectories)
            .Select(f => System.IO.Path.GetRelativePath(Repo.Root, f).Replace('\\', '/'))
            .Where(f => !f.Contains("/obj/", StringComparison.Ordinal) && !f.Contains("/bin/", StringComparison.Ordinal)
                && !f.Contains("/node_modules/", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(f => new SourceFile(f, File.ReadAllText(Repo.File(f))));
}

/// <summary>One folder of a room leans on another one.</summary>
/// <param name="From">The folder that names it, as a namespace.</param>
/// <param name="To">The folder that is named.</param>
/// <param name="File">A file where that is seen, and the word that shows it.</param>
internal sealed record FolderArrow(string From, string To, string File);

/// <summary>
/// Arrows between the folders of a room, read from its sources. An arrow is a <c>using</c> of the other folder, a name qualified
/// with it, or a type of a folder further up: those need no <c>using</c>.
/// </summary>
internal static partial class FolderArrows
{
    /// <summary>Each arrow once, with the first file that shows it.</summary>
    public static IReadOnlyList<FolderArrow> Of(IReadOnlyList<SourceFile> files)
    {
        var code = files.ToDictionary(f => f, f => Noise().Replace(f.Text, m => m.Value[0] is '$' or '@' or '"' ? "\"\"" : " "));
        var types = files.GroupBy(f => f.Folder).ToDictionary(g => g.Key,
            g => g.SelectMany(f => TopType().Matches(code[f]).Select(m => m.Groups[1].Value)).ToHashSet());
        var arrows = new Dictionary<(string, string), FolderArrow>();
        foreach (var file in files)
        {
            foreach (var (to, word) in Named(file.Folder, code[file], types))
            {
                if (to != file.Folder)
                {
                    arrows.TryAdd((file.Folder, to), new FolderArrow(file.Folder, to, $"{file.Path} ({word})"));
                }
            }
        }

        return [.. arrows.Values];
    }

    /// <summary>The shortest circle, each arrow of it in turn; empty when there is none.</summary>
    public static IReadOnlyList<FolderArrow> Circle(IReadOnlyList<FolderArrow> arrows)
    {
        var from = arrows.ToLookup(a => a.From);
        List<FolderArrow> shortest = [];
        foreach (var first in arrows)
        {
            // Breadth first from the arrow's head back to its tail.
            var reached = new Dictionary<string, FolderArrow?> { [first.To] = null };
            var next = new Queue<string>([first.To]);
            while (next.TryDequeue(out var at) && at != first.From)
            {
                foreach (var a in from[at].Where(a => reached.TryAdd(a.To, a)))
                {
                    next.Enqueue(a.To);
                }
            }

            if (!reached.ContainsKey(first.From))
            {
                continue;
            }

            var way = new List<FolderArrow>();
            for (var at = first.From; reached[at] is { } a; at = a.From)
            {
                way.Insert(0, a);
            }

            way.Insert(0, first);
            if (shortest.Count == 0 || way.Count < shortest.Count)
            {
                shortest = way;
            }
        }

        return shortest;
    }

    private static IEnumerable<(string Folder, string Word)> Named(string folder, string code, Dictionary<string, HashSet<string>> types)
    {
        string[] above = [.. Enumerable.Range(1, folder.Count(c => c == '.')).Select(n => string.Join('.', folder.Split('.')[..n]))];
        foreach (Match use in Using().Matches(code))
        {
            var name = use.Groups[1].Value;
            if (Prefixes(name).FirstOrDefault(types.ContainsKey) is { } to)
            {
                yield return (to, $"using {name}");
            }
        }

        var rest = Using().Replace(code, "");
        foreach (Match word in Name().Matches(rest))
        {
            var parts = word.Value.Split('.');
            foreach (var start in above.Append(folder).Append(""))
            {
                for (var n = 1; n < parts.Length; n++)
                {
                    var to = (start.Length > 0 ? start + "." : "") + string.Join('.', parts[..n]);
                    if (types.TryGetValue(to, out var there) && there.Contains(parts[n]))
                    {
                        yield return (to, word.Value);
                    }
                }
            }

            if (!types[folder].Contains(parts[0]) && !IsCall(word, rest)
                && above.LastOrDefault(a => types.TryGetValue(a, out var there) && there.Contains(parts[0])) is { } up)
            {
                yield return (up, parts[0]);
            }
        }
    }

    /// <summary>A method of that name, declared or called. To construct a type, or hand something on to a base, is none.</summary>
    private static bool IsCall(Match word, string code)
    {
        if (code.AsSpan(word.Index + word.Length).TrimStart() is not ['(', ..])
        {
            return false;
        }

        var before = code.AsSpan(0, word.Index);
        var line = before[(before.LastIndexOf('\n') + 1)..].TrimEnd();
        return !line.EndsWith("new") && !BaseList().IsMatch(line);
    }

    /// <summary>The name and what stands before its dots, longest first.</summary>
    private static IEnumerable<string> Prefixes(string name)
    {
        for (var at = name.Length; at > 0; at = name.LastIndexOf('.', at - 1))
        {
            yield return name[..at];
        }
    }

    /// <summary>Comments, texts and characters: no types are named there. What stands in the braces of a text is passed over too.</summary>
    [GeneratedRegex(""""
        //[^\n]*|/\*.*?\*/|\$*"""+.*?"""+|\$?@\$?"(?:[^"]|"")*"|\$?"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.[^']*)'
        """", RegexOptions.Singleline)]
    private static partial Regex Noise();

    [GeneratedRegex(@"^(?:global )?using (?:static )?(?:\w+ = )?([\w.]+);", RegexOptions.Multiline)]
    private static partial Regex Using();

    [GeneratedRegex(@"
        ^ (?: \[ [^\n]* \] \s* )*
        (?: (?: public|internal|static|sealed|abstract|partial|readonly|ref|unsafe ) \s+ )+
        (?: class|struct|interface|enum | record (?: \s+ (?: struct|class ) )? | delegate \s+ [\w<>\[\],.?]+ ) \s+ (\w+)
        ", RegexOptions.Multiline | RegexOptions.IgnorePatternWhitespace)]
    private static partial Regex TopType();

    [GeneratedRegex(@"\b(?:class|record|struct)\s+\w[^{;]*:$")]
    private static partial Regex BaseList();

    [GeneratedRegex(@"(?<![\w.])[A-Z]\w*(?:\.[A-Z]\w*)*")]
    private static partial Regex Name();
}
