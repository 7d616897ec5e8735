using StageView.Rig.Archives;
using StageView.Rig.Source;
using StageView.Wire.Universes;

namespace StageView.Rig.Profiles;

/// <summary>Reads a mode of a JSON profile: channels, pixel runs, relations.</summary>
internal sealed class ModeReader
{
    private readonly GeometryTree _tree;
    private readonly List<Wheel> _wheels;
    private readonly List<Emitter> _emitters;
    private readonly List<string> _notUnderstood;
    private readonly ProblemList _problems;
    private readonly List<DmxChannel> _channels = [];
    private readonly List<(SourceNode Node, int Channel, int Function)> _conditions = [];
    private readonly Dictionary<int, int> _next = [];
    private readonly Dictionary<string, int> _names = new(StringComparer.Ordinal);
    private readonly ArchiveBudget _budget;
    private bool _stopped;

    public ModeReader(GeometryTree tree, List<Wheel> wheels, List<Emitter> emitters, List<string> notUnderstood, ArchiveBudget budget,
        ProblemList problems)
    {
        _budget = budget;
        _tree = tree;
        _wheels = wheels;
        _emitters = emitters;
        _notUnderstood = notUnderstood;
        _problems = problems;
    }

    public FixtureMode Read(SourceNode mode)
    {
        foreach (var c in mode.ListOf("channels").TakeWhile(Took))
        {
            AddAny(c, -1);
        }

        ResolveConditions();
        var blocks = ReadPixels(mode);
        var relations = ReadRelations(mode);
        CheckOverlaps(mode);
        var ranges = new PlausibleRanges(_tree.Nodes, c => c.Name, _notUnderstood);
        for (var i = 0; i < _channels.Count; i++)
        {
            _channels[i] = ranges.Settle(_channels[i]);
        }

        var breaks = Math.Max(1, _next.Keys.DefaultIfEmpty(1).Max());
        return new FixtureMode
        {
            Name = mode.TextOr("name"),
            Geometry = _tree.Nodes,
            Channels = _channels,
            PixelBlocks = blocks,
            Relations = relations,
            Footprints = [.. Enumerable.Range(1, breaks).Select(b => _next.GetValueOrDefault(b, 1) - 1)],
        };
    }

    private void AddAny(SourceNode node, int within)
    {
        if (node.Get("forEach") is not { } each)
        {
            AddChannel(node, within);
            return;
        }

        if (!_tree.Copies.TryGetValue(each.Text, out var copies))
        {
            _problems.Error(each, $"no geometry named \"{each.Text}\"{Nearest.Hint(each.Text, _tree.Copies.Keys)}");
            return;
        }

        foreach (var copy in copies)
        {
            foreach (var c in node.ListOf("channels"))
            {
                if (!Took(c))
                {
                    return;
                }

                AddAny(c, copy);
            }
        }
    }

    /// <summary>Counts what is read of a mode, each copy by itself: a "forEach" within another multiplies.</summary>
    private bool Took(SourceNode at)
    {
        if (!_stopped && !_budget.Channels(1))
        {
            _stopped = true;
            _problems.Error(at, ArchiveBudget.TooManyChannels);
        }

        return !_stopped;
    }

    private void AddChannel(SourceNode node, int within)
    {
        if (node.Get("attribute") is not { } attribute)
        {
            _problems.Error(node, "a channel needs \"attribute\" (or \"forEach\" with \"channels\")");
            return;
        }

        if (!_budget.Functions(1 + node.ListOf("ranges").Count))
        {
            _stopped = true;
            _problems.Error(node, ArchiveBudget.TooManyFunctions);
            return;
        }

        var geometry = GeometryOf(node, within);
        var brk = node.IntegerOr("break", 1);
        var offsets = Offsets(node, brk);
        var name = $"{_tree.Nodes[geometry].Name}_{attribute.Text}";
        if (!_names.TryAdd(name, _channels.Count))
        {
            _problems.Error(node, $"there is another channel {name}: one attribute of a geometry has one channel");
        }

        var width = Math.Max(1, offsets.Count);
        var index = _channels.Count;
        _channels.Add(new DmxChannel
        {
            Index = index,
            Name = name,
            Geometry = geometry,
            Break = brk,
            Offsets = offsets,
            Functions = new FunctionReader(_wheels, _emitters, _problems, Known).Read(node, attribute.Text, width, (n, f) => _conditions.Add((n, index, f))),
            Default = FunctionReader.Coarse(node.IntegerOr("default", 0), width),
            Highlight = node.Has("highlight") ? FunctionReader.Coarse(node.IntegerOr("highlight", 255), width) : null,
            Snap = node.FlagOr("snap", false),
        });
        UnclearSets.Tell(_channels[^1].Functions, _notUnderstood);
        WarnOfNoAxis(node, geometry, _channels[^1]);
    }

    /// <summary>A channel that moves nothing: no part at, below or above its geometry has the axis.</summary>
    private void WarnOfNoAxis(SourceNode node, int geometry, DmxChannel channel)
    {
        foreach (var attribute in channel.Functions.Select(f => f.Attribute).Distinct())
        {
            AxisMotion? motion = attribute switch { "Pan" or "PanRotate" => AxisMotion.TurnZ, "Tilt" or "TiltRotate" => AxisMotion.TurnX, _ => null };
            if (motion is { } m && !_tree.Nodes.Any(n => n.Axis?.Motion == m && (_tree.Within(n.Index, geometry) || _tree.Within(geometry, n.Index))))
            {
                _problems.Warn(node, $"{attribute} moves nothing: no part at \"{_tree.Nodes[geometry].Name}\", below or above it has such an axis");
            }
        }
    }

    private int GeometryOf(SourceNode node, int within)
    {
        if (node.Get("geometry") is not { } named)
        {
            return Math.Max(0, within);
        }

        if (!_tree.Copies.TryGetValue(named.Text, out var copies))
        {
            var exact = _tree.IndexOf(named.Text);
            if (exact < 0)
            {
                _problems.Error(named, $"no geometry named \"{named.Text}\"{Nearest.Hint(named.Text, _tree.Copies.Keys)}");
            }

            return Math.Max(0, exact);
        }

        if (within < 0 && copies.Count > 1)
        {
            _problems.Error(named, $"\"{named.Text}\" is repeated {copies.Count} times: write its channels under \"forEach\"");
        }

        // Parents come before what they hold, one whole branch after another: the first copy from here on is within, or none is.
        var i = copies is List<int> list ? list.BinarySearch(within) : -1;
        var next = i >= 0 ? i : ~i;
        return within < 0 || next >= copies.Count || !_tree.Within(copies[next], within) ? copies[0] : copies[next];
    }

    private List<int> Offsets(SourceNode node, int brk)
    {
        var next = _next.GetValueOrDefault(brk, 1);
        List<int> offsets;
        if (node.Get("offsets") is { } written)
        {
            offsets = [.. written.Items.Select(i => (int)i.Number)];
        }
        else
        {
            var bytes = node.TextOr("bits", "8") switch { "16" => 2, "24" => 3, "virtual" => 0, _ => 1 };
            offsets = [.. Enumerable.Range(next, bytes)];
        }

        _next[brk] = Math.Max(next, offsets.DefaultIfEmpty(0).Max() + 1);
        return offsets;
    }

    private void Known(SourceNode at, string attribute)
    {
        if (AttributeCatalog.UnitOf(attribute) is null)
        {
            _problems.Warn(at, $"the attribute {attribute} is not simulated: {WhyNotSimulated.Of(attribute)}{AttributeCatalog.Hint(attribute)}");
        }

        if (!AttributeCatalog.IsSimulated(attribute))
        {
            _notUnderstood.Add($"attribute {attribute} ({at.Path}): not simulated: {WhyNotSimulated.Of(attribute)}");
        }
    }

    private void ResolveConditions()
    {
        foreach (var (node, channel, function) in _conditions)
        {
            var name = node.TextOr("channel");
            if (!_names.TryGetValue(name, out var master))
            {
                _problems.Error(node, $"no channel named \"{name}\"{Nearest.Hint(name, _channels.Select(c => c.Name))}");
                continue;
            }

            var width = Math.Max(1, _channels[master].Offsets.Count);
            var functions = _channels[channel].Functions.ToArray();
            functions[function] = functions[function] with
            {
                ModeMaster = master,
                ModeFrom = FunctionReader.CoarseFrom(node.IntegerOr("from", 0), width),
                ModeTo = FunctionReader.CoarseTo(node.IntegerOr("to", 255), width),
            };
            _channels[channel] = _channels[channel] with { Functions = functions };
        }

        for (var i = 0; i < _channels.Count; i++)
        {
            if (_channels[i].Functions.Any(f => f.ModeMaster >= 0))
            {
                _channels[i] = _channels[i] with
                {
                    Functions = [.. _channels[i].Functions.OrderBy(f => f.ModeMaster).ThenBy(f => f.ModeFrom).ThenBy(f => f.DmxFrom)],
                };
            }
        }
    }

    private List<PixelBlock> ReadPixels(SourceNode mode)
    {
        var blocks = new List<PixelBlock>();
        foreach (var p in mode.ListOf("pixels"))
        {
            var named = p.Get("geometry")!;
            if (!_tree.Copies.TryGetValue(named.Text, out var copies) || _tree.Nodes[copies[0]].Pixels is null)
            {
                var grids = _tree.Nodes.Where(n => n.Pixels is not null).Select(n => n.Name).ToList();
                _problems.Error(named, $"no geometry with pixels named \"{named.Text}\"{Nearest.Hint(named.Text, grids)}");
                continue;
            }

            var brk = p.IntegerOr("break", 1);
            var first = p.IntegerOr("first", _next.GetValueOrDefault(brk, 1));
            foreach (var copy in copies.TakeWhile(_ => Took(p)))
            {
                var grid = _tree.Nodes[copy].Pixels!;
                var block = new PixelBlock
                {
                    Geometry = copy,
                    Break = brk,
                    FirstOffset = first,
                    Order = p.TextOr("order", "RGB"),
                    BytesPerComponent = p.IntegerOr("bytes", 1),
                    Path = p.TextOr("path") switch
                    {
                        "rowsSerpentine" => PixelPath.RowsSerpentine,
                        "columns" => PixelPath.Columns,
                        "columnsSerpentine" => PixelPath.ColumnsSerpentine,
                        _ => PixelPath.Rows,
                    },
                    SplitsPixels = p.FlagOr("splitPixels", true),
                };
                blocks.Add(block);
                var next = first + ((long)grid.Columns * grid.Rows * block.Order.Length * block.BytesPerComponent);
                if (next > UniverseNumber.Highest * 512)
                {
                    _problems.Error(p, "its pixels need more addresses than there are in all universes");
                    _stopped = true;
                    break;
                }

                first = (int)next;
            }

            _next[brk] = Math.Max(_next.GetValueOrDefault(brk, 1), first);
        }

        return blocks;
    }

    private List<ChannelRelation> ReadRelations(SourceNode mode)
    {
        var relations = new List<ChannelRelation>();
        foreach (var r in mode.ListOf("relations"))
        {
            var leader = Find(r.Get("leader")!);
            var follower = Find(r.Get("follower")!);
            if (leader >= 0 && follower >= 0)
            {
                var kind = r.TextOr("kind") == "override" ? RelationKind.Override : RelationKind.Multiply;
                relations.AddRange(_channels[follower].Functions.Select((_, f) => new ChannelRelation(leader, follower, f, kind)));
            }
        }

        return relations;

        int Find(SourceNode named)
        {
            var i = _names.GetValueOrDefault(named.Text, -1);
            if (i < 0)
            {
                _problems.Error(named, $"no channel named \"{named.Text}\"{Nearest.Hint(named.Text, _channels.Select(c => c.Name))}");
            }

            return i;
        }
    }

    private void CheckOverlaps(SourceNode mode)
    {
        var used = new Dictionary<(int Break, int Offset), string>();
        foreach (var c in _channels)
        {
            foreach (var o in c.Offsets)
            {
                if (!used.TryAdd((c.Break, o), c.Name))
                {
                    _problems.Error(mode, $"channels {used[(c.Break, o)]} and {c.Name} both use offset {o} of break {c.Break}");
                }
            }
        }
    }
}
