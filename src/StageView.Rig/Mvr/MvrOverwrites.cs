using System.IO.Compression;
using System.Numerics;
using System.Xml;
using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Mvr;

/// <summary>What a fixture takes from the template instead of its own (DIN SPEC 15801, Overwrite).</summary>
/// <param name="Universal">The wheel, slot, emitter or filter of the template: names that dots divide.</param>
/// <param name="Target">That of the fixture's type; empty for something in front of all its beams.</param>
internal sealed record MvrOverwrite(string Universal, string Target)
{
    /// <summary>Of one fixture.</summary>
    public const int Most = 100;

    /// <returns>One more than <see cref="Most"/> where there are more.</returns>
    public static IReadOnlyList<MvrOverwrite> All(XElement fixture) =>
    [
        .. (fixture.Element("Overwrites")?.Elements("Overwrite") ?? []).Take(Most + 1)
            .Select(o => new MvrOverwrite(GdtfNames.Of(o.Attr("universal")), GdtfNames.Of(o.Attr("target")))),
    ];
}

/// <summary>
/// Makes GDTF files whose wheels, slots, emitters and filters have the values of those in the archive's template, <c>Universal.gdtt</c>. What is overwritten
/// keeps its name, by which channels, slots and beams know it; the pictures and filters that it needs come along.
/// </summary>
internal sealed class MvrOverwrites
{
    private const string Template = "Universal.gdtt";
    private const string Description = "description.xml";

    /// <summary>Where pictures of slots lie (DIN SPEC 15800, Wheel Slot, MediaFileName), and with which endings.</summary>
    private static readonly string[] Pictures = [".png", ".jpg", ".jpeg", ".svg"];

    /// <summary>Wheels, slots, emitters and filters of the template.</summary>
    private const int MostOfTemplate = 10_000;

    /// <summary>Files made: a type's may be large.</summary>
    private const int MostFiles = 200;

    private readonly SafeArchive _archive;
    private readonly List<string> _notes;
    private readonly Func<string, byte[], string> _put;
    private readonly Dictionary<string, string?> _made = new(StringComparer.Ordinal);
    private (SafeArchive Archive, XElement Type)? _template;
    private List<FilterData>? _filters;
    private bool _looked;

    /// <param name="archive">The MVR file.</param>
    /// <param name="notes">What is not taken over.</param>
    /// <param name="put">Writes a GDTF file under a name like the one given; returns the one it got.</param>
    public MvrOverwrites(SafeArchive archive, List<string> notes, Func<string, byte[], string> put) => (_archive, _notes, _put) = (archive, notes, put);

    /// <summary>The file of a type with what a fixture overwrites: one for all that overwrite the same. Null where nothing is.</summary>
    /// <param name="entry">The type's file in the archive; empty where it isn't there.</param>
    /// <param name="wanted">In their order: a later one overwrites an earlier one.</param>
    public string? FileOf(string entry, IReadOnlyList<MvrOverwrite> wanted)
    {
        wanted = [.. wanted.Where(w => w.Target.Length > 0)];
        if (wanted.Count == 0)
        {
            return null;
        }

        var key = string.Join('\n', wanted.Select(w => $"{w.Universal}\t{w.Target}").Prepend(entry));
        if (_made.TryGetValue(key, out var known))
        {
            return known;
        }

        if (!entry.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase))
        {
            _notes.Add($"overwrites of fixtures without a GDTF file{(entry.Length > 0 ? $" ({entry})" : "")}: not used");
            return _made[key] = null;
        }

        if (_made.Count >= MostFiles)
        {
            _notes.Add($"overwrites: fixtures have more than {MostFiles} different ones; the rest is not used");
            return null;
        }

        if (Made(entry, wanted) is not { } bytes)
        {
            return _made[key] = null;
        }

        var problems = new ProblemList();
        if (GdtfFile.Read(bytes, entry, new RigAssets(), RigLoadOptions.Default, problems, _archive.Budget) is null)
        {
            _notes.Add($"{entry} can't be read with what overwrites it ({(problems.ToList() is [var first, ..] ? first.Text : "")}): it is used as it is");
            return _made[key] = null;
        }

        return _made[key] = _put(MvrText.FileName(Path.GetFileNameWithoutExtension(entry)) + "-overwritten", bytes);
    }

    /// <summary>Transmission of the filters that a fixture has in front of all its beams (overwrites without a target); 1, 1, 1 without.</summary>
    public Vector3 InFront(MvrFixture fixture)
    {
        var through = Vector3.One;
        foreach (var (universal, _) in fixture.Overwrites.Where(o => o.Target.Length == 0).Take(MvrOverwrite.Most))
        {
            var found = FromTemplate() is { } from ? Meant(from.Type, universal) : [];
            var slot = found.Find(e => e.Name.LocalName == "Slot");
            var name = slot?.Attr("Filter") is { Length: > 0 } named ? named : found.Exists(e => e.Name.LocalName == "Filter") ? universal : "";
            if (_filters?.Find(f => f.Name == name) is { } filter)
            {
                through *= filter.Colour;
            }
            else if (slot is not null && slot.Attr("MediaFileName").Length == 0 && GdtfValues.Colour(slot.Attr("Color")) is { } colour)
            {
                through *= GdtfValues.Transmission(colour);
            }
            else
            {
                _notes.Add($"overwrite \"{universal}\" of fixture \"{fixture.Name}\": {(found.Count == 0 ? $"is not in {Template}"
                    : "only filters and colours are put in front of all beams")}");
            }
        }

        return Vector3.Clamp(through, Vector3.Zero, Vector3.One);
    }

    private byte[]? Made(string entry, IReadOnlyList<MvrOverwrite> wanted)
    {
        if (wanted.Count > MvrOverwrite.Most)
        {
            _notes.Add($"overwrites of {entry}: the first {MvrOverwrite.Most} of a fixture are used");
        }

        if (FromTemplate() is not { } from)
        {
            _notes.Add($"overwrites of {entry}: {Template} is not in the archive, can't be read or holds over {MostOfTemplate} things");
            return null;
        }

        using var own = _archive.TryRead(entry, out _) is { } bytes ? SafeArchive.TryOpen(bytes, _archive.Budget, out _) : null;
        if (own is null || Read(own) is not { } root)
        {
            return null;
        }

        var pictures = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        var done = 0;
        foreach (var (universal, target) in wanted.Take(MvrOverwrite.Most))
        {
            var why = Overwrite(root.Element("FixtureType")!, from.Type, universal, target, own, pictures);
            done += why.Length == 0 ? 1 : 0;
            if (why.Length > 0)
            {
                _notes.Add($"overwrite \"{universal}\" of {entry}, \"{target}\": {why}");
            }
        }

        return done == 0 ? null : Packed(own, root, from.Archive, pictures);
    }

    /// <returns>Why not; empty where it was.</returns>
    private string Overwrite(XElement type, XElement template, string universal, string target, SafeArchive own, Dictionary<string, string> pictures)
    {
        var (sources, targets) = (Meant(template, universal), Meant(type, target));
        var kinds = sources.Select(s => s.Name.LocalName).Intersect(targets.Select(t => t.Name.LocalName)).ToList();
        if (kinds.Count == 0)
        {
            return sources.Count == 0 ? $"{Template} has no wheel, slot, emitter or filter of that name"
                : targets.Count == 0 ? "the fixture's type has no wheel, slot, emitter or filter of that name"
                : $"they are of different kinds ({sources[0].Name.LocalName}, {targets[0].Name.LocalName})";
        }

        var (source, into) = (sources.Find(s => s.Name.LocalName == kinds[0])!, targets.Find(t => t.Name.LocalName == kinds[0])!);
        var copy = new XElement(source);
        copy.SetAttributeValue("Name", into.Attr("Name"));
        foreach (var slot in copy.DescendantsAndSelf("Slot"))
        {
            Bring(slot, type, template, own, pictures);
        }

        into.ReplaceWith(copy);
        return "";
    }

    /// <summary>The wheel, slot, emitter or filter that a name may mean, at most one of each.</summary>
    private static List<XElement> Meant(XElement type, string name)
    {
        XElement? One(IEnumerable<XElement>? all, string named) => all?.FirstOrDefault(x => x.Attr("Name") == named);
        var wheels = type.Element("Wheels")?.Elements("Wheel");
        var physical = type.Element("PhysicalDescriptions");
        var dot = name.IndexOf('.', StringComparison.Ordinal);
        var found = dot > 0 ? [One(One(wheels, name[..dot])?.Elements("Slot"), name[(dot + 1)..])]
            : new[]
            {
                One(wheels, name), One(physical?.Element("Emitters")?.Elements("Emitter"), name), One(physical?.Element("Filters")?.Elements("Filter"), name),
            };
        return [.. found.OfType<XElement>()];
    }

    /// <summary>Brings along what a slot of the template names: its picture and its filter, under names that the fixture's type has free.</summary>
    private void Bring(XElement slot, XElement type, XElement template, SafeArchive own, Dictionary<string, string> pictures)
    {
        if (slot.Attr("MediaFileName") is { Length: > 0 } media)
        {
            var stem = GdtfModels.Bare(media, [.. Pictures.Select(p => p[1..])]);
            if (!pictures.TryGetValue(stem, out var named))
            {
                var at = stem;
                for (var i = 2; pictures.ContainsValue(at) || Pictures.Any(p => own.Find($"wheels/{at}{p}") is not null); i++)
                {
                    at = $"{stem}-{i}";
                }

                pictures[stem] = named = at;
            }

            slot.SetAttributeValue("MediaFileName", named);
        }

        if (slot.Attr("Filter") is not { Length: > 0 } filter)
        {
            return;
        }

        if (Meant(template, filter).Find(f => f.Name.LocalName == "Filter") is not { } source)
        {
            _notes.Add($"{Template}: its slot \"{slot.Attr("Name")}\" names the filter \"{filter}\", which isn't there");
            slot.SetAttributeValue("Filter", null);
            return;
        }

        var copy = new XElement(source);
        var physical = Child(type, "PhysicalDescriptions");
        var filters = Child(physical, "Filters");
        string name;
        for (var i = 1; Meant(type, name = $"{filter} of the template{(i > 1 ? $" {i}" : "")}").Find(f => f.Name.LocalName == "Filter") is { } there; i++)
        {
            copy.SetAttributeValue("Name", name);
            if (XNode.DeepEquals(there, copy))
            {
                break;
            }
        }

        copy.SetAttributeValue("Name", name);
        if (Meant(type, name).TrueForAll(x => x.Name.LocalName != "Filter"))
        {
            filters.Add(copy);
        }

        slot.SetAttributeValue("Filter", name);
    }

    private static XElement Child(XElement of, string name)
    {
        if (of.Element(name) is not { } child)
        {
            of.Add(child = new XElement(name));
        }

        return child;
    }

    /// <summary>The type's archive with the new description and what came along.</summary>
    private byte[] Packed(SafeArchive own, XElement root, SafeArchive template, Dictionary<string, string> pictures)
    {
        // DIN SPEC 15801: a GDTF file that was changed says so by a revision.
        Child(root.Element("FixtureType")!, "Revisions").Add(new XElement(
            "Revision", new XAttribute("Text", "Overwritten as the fixture's MVR file says"), new XAttribute("UserID", "0")));
        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
        {
            void Put(string name, ReadOnlySpan<byte> bytes)
            {
                var made = zip.CreateEntry(name);
                // The same archive gives the same file.
                made.LastWriteTime = new DateTimeOffset(1980, 1, 1, 0, 0, 0, TimeSpan.Zero);
                using var to = made.Open();
                to.Write(bytes);
            }

            using (var xml = new MemoryStream())
            {
                using (var writer = XmlWriter.Create(xml, new XmlWriterSettings { Indent = true, NewLineChars = "\n", CloseOutput = false }))
                {
                    root.Save(writer);
                }

                Put(Description, xml.ToArray());
            }

            foreach (var name in own.Names.Where(n => n != Description))
            {
                if (own.TryRead(name, out _) is { } bytes)
                {
                    Put(name, bytes);
                }
            }

            foreach (var (stem, name) in pictures)
            {
                var found = Pictures.Select(p => (Ending: p, Entry: template.Find($"wheels/{stem}{p}"))).FirstOrDefault(p => p.Entry is not null);
                if (found.Entry is not null && template.TryReadShared(found.Entry) is { } bytes)
                {
                    Put($"wheels/{name}{found.Ending}", bytes);
                }
                else
                {
                    _notes.Add($"{Template}: wheels/{stem}.png is not in it, or can't be read");
                }
            }
        }

        return memory.ToArray();
    }

    private (SafeArchive Archive, XElement Type)? FromTemplate()
    {
        if (!_looked && _archive.Find(Template) is { } entry && _archive.TryRead(entry, out _) is { } bytes
            && SafeArchive.TryOpen(bytes, _archive.Budget, out _) is { } archive && Read(archive) is { } root
            && root.Descendants().Count(e => e.Name.LocalName is "Wheel" or "Slot" or "Emitter" or "Filter") <= MostOfTemplate)
        {
            _template = (archive, root.Element("FixtureType")!);
            _filters = new GdtfPhysical(_template.Value.Type, []).Filters;
        }

        _looked = true;
        return _template;
    }

    private XElement? Read(SafeArchive gdtf)
    {
        var xml = gdtf.TryRead(Description, out _);
        var root = xml is null ? null : SafeXml.TryParse(xml, _archive.Budget, out _);
        if (root?.Element("FixtureType") is not { } type)
        {
            return null;
        }

        GdtfNames.Settle(type);
        return root;
    }
}
