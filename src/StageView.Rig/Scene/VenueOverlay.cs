using StageView.Rig.Keys;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>A venue file while a tour rig is read under it: what is removed, moved, resized, and a list of what it did.</summary>
internal sealed class VenueOverlay
{
    private readonly List<VenueChange> _changes = [];
    private readonly List<VenueEntry> _entries;
    private readonly Dictionary<(VenueEntry, SourceNode?, string), VenueChange> _told = [];
    private readonly HashSet<string> _names = new(StringComparer.Ordinal);
    private readonly List<Func<string>> _gone = [];

    private VenueOverlay(SourceNode root, string fullPath)
    {
        Root = root;
        FullPath = fullPath;
        _entries =
        [
            .. root.ListOf("remove").Select(r => new VenueEntry(r, true)),
            .. root.ListOf("move").Select(m => new VenueEntry(m, false)),
        ];
    }

    public SourceNode Root { get; }

    public string FullPath { get; }

    public string Name => Root.TextOr("name");

    /// <summary>Entries that each thing of the tour rig is held against.</summary>
    public int Entries => _entries.Count;

    /// <summary>True while the venue's own contents are read: they are not moved by it.</summary>
    public bool Silent { get; set; }

    public IReadOnlyList<string> Changes => [.. _changes.SelectMany(c => c.Lines())];

    /// <summary>Names of all that was removed, and went with it.</summary>
    public IReadOnlySet<string> LeftOut =>
        _gone.Select(n => n()).Concat(_entries.Where(e => e.Removes).Select(e => e.What)).ToHashSet(StringComparer.OrdinalIgnoreCase);

    public static VenueOverlay? Read(string path, FilesMet files, ProblemList problems)
    {
        var full = Path.GetFullPath(path);
        files.Has(full, SourceFileKind.Venue);
        var root = SourceParser.TryRead(full, path, problems);
        if (root is null || !KeyChecker.Check(root, SceneKeys.Venue, problems))
        {
            return null;
        }

        foreach (var m in root.ListOf("move").Where(m => m.Has("by") && m.Has("to")))
        {
            problems.Error(m, "\"by\" and \"to\" can't both place it: keep one");
        }

        return new VenueOverlay(root, full);
    }

    /// <summary>Something of that name is left out; it is asked for at the end.</summary>
    public void Gone(Func<string> name) => _gone.Add(name);

    public void Changed(string text) => _changes.Add(new VenueChange(text));

    /// <summary>The entries that name a thing.</summary>
    /// <param name="written">Its name in the tour's file.</param>
    /// <param name="copy">Names that one copy answers to; entries that mean one alone hear only the first.</param>
    public IEnumerable<VenueEntry> Naming(string written, IReadOnlyList<string> copy)
    {
        _names.Add(copy.Count > 0 ? copy[0] : written);
        return _entries.Where(e => (!e.Alone && e.Names(written)) || (e.Alone ? copy.Take(1) : copy).Any(e.Names));
    }

    /// <summary>What an entry did to a thing, made when it is told first.</summary>
    public VenueChange Told(VenueEntry entry, SourceNode? node, string copy, Func<VenueChange> make)
    {
        if (!_told.TryGetValue((entry, node, copy), out var change))
        {
            _told[(entry, node, copy)] = change = make();
            _changes.Add(change);
        }

        return change;
    }

    /// <summary>Entries that met nothing are mistakes.</summary>
    public void CheckUnused(ProblemList problems)
    {
        foreach (var e in _entries.Where(e => !e.Used))
        {
            problems.Error(e.Node, $"nothing in the tour rig is named \"{e.What}\"{Nearest.Hint(e.What, _names)}");
        }
    }
}
