using StageView.Rig.Source;

namespace StageView.Stage.Cues;

/// <summary>A stretch of a cue file on its own time: the file itself, or a section where it is played.</summary>
/// <param name="Node">Holds <c>cues</c>, <c>chases</c> and <c>pixels</c>.</param>
/// <param name="Clock">Reads its times.</param>
/// <param name="Name">What goes before the names of its cues; empty for the file itself.</param>
internal sealed record CueScope(SourceNode Node, CueClock Clock, string Name)
{
    /// <summary>Most entries of all plays together.</summary>
    private const int MostPlayed = 100_000;

    /// <summary>The file, then each play of a section in the order of the file.</summary>
    public static IReadOnlyList<CueScope> Of(SourceNode root, CueClock clock, ProblemList problems)
    {
        var scopes = new List<CueScope> { new(root, clock, "") };
        var sections = new Dictionary<string, SourceNode>(StringComparer.Ordinal);
        foreach (var section in root.ListOf("sections"))
        {
            if (section.TextOr("name") is { Length: > 0 } name && !sections.TryAdd(name, section))
            {
                problems.Error(section.Get("name")!, $"there is another section named \"{name}\"");
            }
        }

        var plays = root.ListOf("plays");
        var times = plays.GroupBy(p => p.TextOr("section")).ToDictionary(g => g.Key, g => g.Count(), StringComparer.Ordinal);
        var met = new Dictionary<string, int>(StringComparer.Ordinal);
        var entries = 0;
        foreach (var play in plays)
        {
            var name = play.TextOr("section");
            if (play.Get("section") is not { } written || play.Get("time") is not { } time)
            {
                continue;
            }

            if (!sections.TryGetValue(name, out var section))
            {
                problems.Error(written, $"there is no section named \"{name}\""
                    + (Nearest.Of(name, sections.Keys) is { } near ? $": did you mean \"{near}\"?"
                        : sections.Count > 0 ? $"; there are {string.Join(", ", sections.Keys)}" : ""));
                continue;
            }

            met[name] = met.GetValueOrDefault(name) + 1;
            entries += section.ListOf("cues").Count + section.ListOf("chases").Count + section.ListOf("pixels").Count;
            if (entries > MostPlayed)
            {
                problems.Error(written, $"all plays of sections together make more than {MostPlayed} entries");
                break;
            }

            if (clock.TryRead(time, problems, out var seconds))
            {
                scopes.Add(new CueScope(section, clock.At(seconds), play.TextOr("name", times[name] > 1 ? $"{name} {met[name]}" : name)));
            }
        }

        foreach (var (name, section) in sections.Where(s => !met.ContainsKey(s.Key)))
        {
            problems.Warn(section, $"section \"{name}\" is never played");
        }

        return scopes;
    }

    /// <summary>The name of one of its entries; empty where it has none.</summary>
    public string NameOf(SourceNode entry) =>
        entry.TextOr("name") is { Length: > 0 } name && Name.Length > 0 ? $"{Name} {name}" : entry.TextOr("name");
}
