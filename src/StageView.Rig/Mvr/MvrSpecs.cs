using StageView.Rig.Archives;
using StageView.Rig.Source;

namespace StageView.Rig.Mvr;

/// <summary>
/// Finds the GDTF file that a GDTFSpec means (DIN SPEC 15801, GDTFSpec: the file's name, with or without its ending): written so, or but for case, blanks and
/// folder; else the only one whose name is the same without its maker ("Maker@Type.gdtf").
/// </summary>
internal sealed class MvrSpecs
{
    private readonly SafeArchive _archive;
    private readonly List<string> _notes;
    private readonly Dictionary<string, string> _known = new(StringComparer.Ordinal);

    public MvrSpecs(SafeArchive archive, List<string> notes)
    {
        _archive = archive;
        _notes = notes;
    }

    /// <returns>The entry, or empty.</returns>
    public string Entry(string spec)
    {
        if (!_known.TryGetValue(spec, out var entry))
        {
            _known[spec] = entry = Look(spec);
        }

        return entry;
    }

    private string Look(string spec)
    {
        if (spec.Length == 0)
        {
            return "";
        }

        var entry = _archive.Find(spec + ".gdtf") ?? _archive.Find(spec);
        if (entry is not null)
        {
            return entry;
        }

        var wanted = Parts(spec);
        var alike = _archive.Names.Where(n => n.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase)).Where(n => Parts(n) is var p && p.Type == wanted.Type
            && (p.Maker.Length == 0 || wanted.Maker.Length == 0 || p.Maker == wanted.Maker)).ToList();
        if (alike.Count == 1)
        {
            _notes.Add($"{spec} is not in the archive by that name: {alike[0]} is taken for it");
            return alike[0];
        }

        if (alike.Count > 1)
        {
            _notes.Add($"{spec} may be {string.Join(" or ", alike)}: none is taken");
        }

        return "";
    }

    /// <summary>Maker and type of "Maker@Type@revision.gdtf", in one form.</summary>
    private static (string Maker, string Type) Parts(string name)
    {
        name = name[(name.LastIndexOf('/') + 1)..];
        name = name.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase) ? name[..^5] : name;
        var pieces = name.Split('@').Select(p => NameForm.Of(p).ToUpperInvariant()).ToArray();
        return pieces.Length == 1 ? ("", pieces[0]) : (pieces[0], pieces[1]);
    }
}
