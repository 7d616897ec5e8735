using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>Binds a mode's DMX channels to every instance of their geometry and gives them addresses.</summary>
internal sealed class GdtfChannels
{
    private const int MaxChannels = 16_384;

    /// <summary>Functions and sets of one channel: comparing each with each stays quick.</summary>
    private const int MaxParts = 2048;

    private readonly ArchiveBudget _budget;
    private readonly GdtfLinks _links;
    private readonly GdtfTree _tree;
    private readonly List<Wheel> _wheels;
    private readonly GdtfPhysical _light;
    private readonly GdtfSubUnits _subUnits;
    private readonly string _file;
    private readonly List<string> _notUnderstood;
    private readonly ProblemList _problems;
    private readonly List<DmxChannel> _channels = [];
    private readonly UniqueNames _names = new();

    /// <summary>"Geometry_Attribute" as the file writes it, and the element, of each channel.</summary>
    private readonly List<(string Template, XElement Element)> _from = [];

    public GdtfChannels(
        GdtfTree tree, List<Wheel> wheels, GdtfPhysical light, GdtfSubUnits subUnits, string file, List<string> notUnderstood, ArchiveBudget budget,
        ProblemList problems)
    {
        _budget = budget;
        _links = new GdtfLinks(_channels, _from, tree, budget);
        _tree = tree;
        _wheels = wheels;
        _light = light;
        _subUnits = subUnits;
        _file = file;
        _notUnderstood = notUnderstood;
        _problems = problems;
    }

    public FixtureMode Read(XElement mode)
    {
        foreach (var c in mode.Element("DMXChannels")?.Elements("DMXChannel") ?? [])
        {
            Bind(c);
        }

        if (!IsBounded(mode))
        {
            _channels.Clear();
            _from.Clear();
        }

        for (var i = 0; i < _channels.Count; i++)
        {
            _channels[i] = new GdtfFunctions(_channels, _from, _links, _wheels, _light, _subUnits, _notUnderstood).Fill(i);
        }

        var relations = ReadRelations(mode);
        if (_budget.IsSpent && _channels.Count > 0)
        {
            _problems.Error(GdtfFile.Within(_file, mode.Line()), ArchiveBudget.TooManyLinks);
        }

        CheckOverlaps(mode);
        var ranges = new PlausibleRanges(_tree.Nodes, c => _from[c.Index].Template, _notUnderstood);
        for (var i = 0; i < _channels.Count; i++)
        {
            _channels[i] = ranges.Settle(_channels[i]);
        }

        return new FixtureMode
        {
            Name = mode.Attr("Name"),
            Geometry = GdtfMotion.Apply(_tree, _channels),
            Channels = _channels,
            Relations = relations,
            Footprints = Footprints(),
        };
    }

    /// <summary>What an archive nobody vouches for may unfold to.</summary>
    private bool IsBounded(XElement mode)
    {
        if (_budget.IsSpent)
        {
            _problems.Error(GdtfFile.Within(_file, mode.Line()), ArchiveBudget.TooManyChannels);
            return false;
        }

        if (_channels.Count > MaxChannels)
        {
            _problems.Error(GdtfFile.Within(_file, mode.Line()), $"mode \"{mode.Attr("Name")}\" unfolds to more than {MaxChannels} channels");
            return false;
        }

        var parts = new Dictionary<XElement, int>();
        foreach (var (_, element) in _from)
        {
            if (!parts.TryGetValue(element, out var count))
            {
                parts[element] = count = element.Descendants().Count();
                if (count > MaxParts)
                {
                    _problems.Error(GdtfFile.Within(_file, element.Line()), $"a channel has {count} functions and sets: at most {MaxParts} are read");
                    return false;
                }
            }

            if (!_budget.Functions(count))
            {
                _problems.Error(GdtfFile.Within(_file, element.Line()), ArchiveBudget.TooManyFunctions);
                return false;
            }
        }

        return true;
    }

    private void Bind(XElement c)
    {
        var geometry = c.Attr("Geometry");
        var instances = _tree.Of(geometry);
        var first = c.Element("LogicalChannel")?.Attr("Attribute") ?? "NoFeature";
        if (instances.Count == 0)
        {
            _notUnderstood.Add($"channel {geometry}_{first} (line {c.Line()}): there is no such geometry in the mode's tree; left out");
            return;
        }

        foreach (var instance in instances)
        {
            if (_channels.Count > MaxChannels || !_budget.Channels(1))
            {
                return;
            }

            if (!Place(c, instance, $"{geometry}_{first}", out var brk, out var offsets))
            {
                continue;
            }

            var name = _names.Give($"{_tree.Nodes[instance].Name}_{first}");

            _from.Add(($"{geometry}_{first}", c));
            _channels.Add(new DmxChannel
            {
                Index = _channels.Count,
                Name = name,
                Geometry = instance,
                Break = brk,
                Offsets = offsets,
                Functions = [],
                Snap = c.Elements("LogicalChannel").Any(l => l.Attr("Snap") is "Yes" or "On"),
            });
        }
    }

    /// <summary>Address = the channel's offset + the reference's DMXOffset - 1 for its break; "Overwrite" takes the last Break.</summary>
    private bool Place(XElement c, int instance, string name, out int brk, out List<int> offsets)
    {
        offsets = [];
        var written = c.Attr("Offset");
        var overwrite = c.Attr("DMXBreak") == "Overwrite";
        brk = Math.Clamp(GdtfValues.Integer(c.Attr("DMXBreak", "1"), 1), 1, 16);
        if (written.Length == 0 || written.Equals("None", StringComparison.OrdinalIgnoreCase))
        {
            return true;
        }

        foreach (var piece in written.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var o = GdtfValues.Integer(piece, 0);
            if (o is < 1 or > 512)
            {
                _problems.Error(GdtfFile.Within(_file, c.Line()), $"channel {name} has the offset \"{piece}\": offsets are 1 to 512");
                return false;
            }

            offsets.Add(o);
        }

        if (offsets.Count > 4)
        {
            _problems.Error(GdtfFile.Within(_file, c.Line()), $"channel {name} has {offsets.Count} offsets: at most 4 bytes make a value");
            return false;
        }

        var shift = 0;
        foreach (var reference in _tree.Instances[instance].References.Reverse())
        {
            var breaks = reference.Elements("Break").ToList();
            var wanted = brk;
            var found = overwrite
                ? breaks.LastOrDefault()
                : breaks.Find(b => GdtfValues.Integer(b.Attr("DMXBreak", "1"), 1) == wanted);
            if (found is null)
            {
                var what = overwrite ? "no Break, but the channel is written to overwrite its break" : $"no Break for DMX break {brk}";
                _problems.Error(GdtfFile.Within(_file, reference.Line()),
                    $"the reference \"{reference.Attr("Name")}\" has {what}, which channel {name} (line {c.Line()}) needs");
                return false;
            }

            if (overwrite)
            {
                brk = Math.Clamp(GdtfValues.Integer(found.Attr("DMXBreak", "1"), 1), 1, 16);
                overwrite = false;
            }

            shift += GdtfValues.Integer(found.Attr("DMXOffset", "1"), 1) - 1;
        }

        if (overwrite)
        {
            _notUnderstood.Add($"channel {name}: written to overwrite its break but reached without a reference; break 1 is used");
        }

        for (var i = 0; i < offsets.Count; i++)
        {
            offsets[i] += shift;
            if (offsets[i] is < 1 or > 512)
            {
                _problems.Error(GdtfFile.Within(_file, c.Line()),
                    $"channel {name} of \"{_tree.Nodes[instance].Name}\" comes to offset {offsets[i]}: offsets are 1 to 512");
                return false;
            }
        }

        return true;
    }

    private void CheckOverlaps(XElement mode)
    {
        var used = new Dictionary<(int Break, int Offset), string>();
        foreach (var c in _channels)
        {
            foreach (var o in c.Offsets)
            {
                if (!used.TryAdd((c.Break, o), c.Name))
                {
                    _problems.Error(GdtfFile.Within(_file, mode.Line()),
                        $"in mode \"{mode.Attr("Name")}\" the channels {used[(c.Break, o)]} and {c.Name} both use {c.Break}.{o} (break.offset)");
                    return;
                }
            }
        }
    }

    private List<int> Footprints()
    {
        var breaks = _channels.Where(c => c.Offsets.Count > 0).Select(c => c.Break).DefaultIfEmpty(1).Max();
        return [.. Enumerable.Range(1, breaks).Select(b => _channels.Where(c => c.Break == b).SelectMany(c => c.Offsets).DefaultIfEmpty(0).Max())];
    }

    private List<ChannelRelation> ReadRelations(XElement mode)
    {
        var relations = new List<ChannelRelation>();
        foreach (var r in mode.Element("Relations")?.Elements("Relation") ?? [])
        {
            var master = r.Attr("Master");
            var follower = r.Attr("Follower").Split('.');
            var kind = r.Attr("Type") == "Override" ? RelationKind.Override : RelationKind.Multiply;
            var before = relations.Count;
            foreach (var i in _links.All(follower[0]))
            {
                var leader = _links.Nearest(master.Split('.')[0], _channels[i].Geometry);
                for (var f = 0; leader >= 0 && f < _channels[i].Functions.Count && _budget.Links(1); f++)
                {
                    if (follower.Length < 3 || _channels[i].Functions[f].Name == follower[^1])
                    {
                        relations.Add(new ChannelRelation(leader, i, f, kind));
                    }
                }
            }

            if (relations.Count == before)
            {
                _notUnderstood.Add($"relation {r.Attr("Name")} (line {r.Line()}): its channels were not found");
            }
        }

        return relations;
    }
}
