using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Reads what the values of a channel do. Files count in coarse bytes; a channel of n bytes spans 256ⁿ values.</summary>
internal sealed class FunctionReader
{
    private readonly List<Wheel> _wheels;
    private readonly List<Emitter> _emitters;
    private readonly ProblemList _problems;
    private readonly Action<SourceNode, string> _known;

    public FunctionReader(List<Wheel> wheels, List<Emitter> emitters, ProblemList problems, Action<SourceNode, string> known)
    {
        _wheels = wheels;
        _emitters = emitters;
        _problems = problems;
        _known = known;
    }

    public static uint CoarseFrom(int value, int width) => (uint)value << (8 * (width - 1));

    public static uint CoarseTo(int value, int width) => (uint)((((ulong)value + 1) << (8 * (width - 1))) - 1);

    /// <summary>A single value; 255 is full to the last bit.</summary>
    public static uint Coarse(int value, int width) => value >= 255 ? CoarseTo(255, width) : CoarseFrom(value, width);

    /// <param name="channel">The channel.</param>
    /// <param name="attribute">Its attribute.</param>
    /// <param name="width">Bytes of the channel.</param>
    /// <param name="condition">Told of each range's condition and the place of its function.</param>
    public IReadOnlyList<ChannelFunction> Read(SourceNode channel, string attribute, int width, Action<SourceNode, int> condition)
    {
        _known(channel, attribute);
        var ranges = channel.ListOf("ranges");
        if (ranges.Count == 0)
        {
            return [Function(channel, null, attribute, 0, CoarseTo(255, width), width)];
        }

        var functions = new List<ChannelFunction>();
        var unconditional = ranges.Where(r => !r.Has("when")).ToList();
        for (var i = 0; i < ranges.Count; i++)
        {
            var r = ranges[i];
            var from = r.IntegerOr("from", 0);
            var to = r.IntegerOr("to", -1);
            if (to < 0)
            {
                var next = ranges.Skip(i + 1).FirstOrDefault(n => n.IntegerOr("from", 0) > from);
                to = next is null ? 255 : next.IntegerOr("from", 256) - 1;
            }

            if (to < from)
            {
                _problems.Error(r, $"ends at {to}, before it starts at {from}");
                continue;
            }

            var before = unconditional.TakeWhile(u => u != r).LastOrDefault();
            if (!r.Has("when") && before is not null && from <= before.IntegerOr("to", before.IntegerOr("from", 0)))
            {
                _problems.Error(r, $"starts at {from}, within the range before it");
            }

            var own = r.TextOr("attribute", attribute);
            if (own != attribute)
            {
                _known(r, own);
            }

            if (r.Get("when") is { } when)
            {
                condition(when, functions.Count);
            }

            functions.Add(Function(channel, r, own, CoarseFrom(from, width), CoarseTo(to, width), width));
        }

        return functions;
    }

    private ChannelFunction Function(SourceNode channel, SourceNode? range, string attribute, uint from, uint to, int width)
    {
        var stated = (range ?? channel).Pair("physical");
        var physical = stated ?? (0f, 1f);
        var wheel = IndexOf(range?.Get("wheel") ?? channel.Get("wheel"), _wheels, w => w.Name, "wheel");
        var emitter = IndexOf(range?.Get("emitter") ?? channel.Get("emitter"), _emitters, e => e.Name, "emitter");
        if (emitter < 0 && attribute.StartsWith("ColorAdd_", StringComparison.Ordinal))
        {
            emitter = _emitters.FindIndex(e => e.Name.Equals(EmitterName(attribute["ColorAdd_".Length..]), StringComparison.OrdinalIgnoreCase));
        }

        var name = range?.TextOr("name") is { Length: > 0 } said ? said : attribute;
        return new ChannelFunction
        {
            Name = name,
            Attribute = attribute,
            DmxFrom = from,
            DmxTo = to,
            PhysicalFrom = physical.Item1,
            PhysicalTo = physical.Item2,
            IsRangeLeft = stated is null,
            StatedUnit = AttributeCatalog.UnitOf(attribute) switch { "s" => "Time", "deg/s" => "AngularSpeed", _ => "" },
            RealFade = range?.NumberOr("fade", 0) ?? 0,
            Wheel = wheel,
            Emitter = emitter,
            Curve = ((range?.Get("curve") ?? channel.Get("curve"))?.Text ?? "") switch
            {
                "square" => ResponseCurve.Square,
                "s" => ResponseCurve.SCurve,
                "squareRoot" => ResponseCurve.SquareRoot,
                _ => ResponseCurve.Linear,
            },
            Sets = Sets(range ?? channel, wheel, from, to, physical, width),
        };
    }

    private List<ChannelSet> Sets(SourceNode node, int wheel, uint from, uint to, (float From, float To) physical, int width)
    {
        var sets = new List<ChannelSet>();
        var names = node.TextsOf("slots");
        var single = node.IntegerOr("slot", 0);
        if (names.Count == 0 && single == 0)
        {
            return sets;
        }

        if (wheel < 0)
        {
            _problems.Error(node, "\"slots\" and \"slot\" need the \"wheel\" they belong to");
            return sets;
        }

        var slots = _wheels[wheel].Slots;
        if (single > 0)
        {
            if (single > slots.Count)
            {
                _problems.Error(node, $"slot {single}: the wheel \"{_wheels[wheel].Name}\" has {slots.Count}");
                return sets;
            }

            sets.Add(new ChannelSet(slots[single - 1].Name, from, to, physical.From, physical.To, single));
            return sets;
        }

        // Parts are cut at whole coarse bytes, so that a byte never belongs to two slots.
        var step = 1u << (8 * (width - 1));
        var bytes = (to - from + 1) / step;
        for (var i = 0; i < names.Count; i++)
        {
            var slot = 1 + slots.ToList().FindIndex(s => s.Name == names[i]);
            if (slot == 0)
            {
                _problems.Error(node, $"the wheel \"{_wheels[wheel].Name}\" has no slot \"{names[i]}\"{Nearest.Hint(names[i], slots.Select(s => s.Name))}");
                continue;
            }

            var a = from + ((uint)(bytes * i / names.Count) * step);
            var b = from + ((uint)(bytes * (i + 1) / names.Count) * step) - 1;
            sets.Add(new ChannelSet(names[i], a, b, physical.From, physical.To, slot));
        }

        return sets;
    }

    private int IndexOf<T>(SourceNode? named, List<T> items, Func<T, string> nameOf, string kind)
    {
        if (named is null)
        {
            return -1;
        }

        var i = items.FindIndex(x => nameOf(x) == named.Text);
        if (i < 0)
        {
            _problems.Error(named, $"no {kind} named \"{named.Text}\"{Nearest.Hint(named.Text, items.Select(nameOf))}");
        }

        return i;
    }

    private static string EmitterName(string letter) => letter.ToUpperInvariant() switch
    {
        "R" => "Red",
        "G" => "Green",
        "B" => "Blue",
        "W" => "White",
        "RY" => "Amber",
        "GY" => "Lime",
        "WW" => "Warm white",
        "CW" => "Cold white",
        "C" => "Cyan",
        "M" => "Magenta",
        "Y" => "Yellow",
        "UV" => "UV",
        var other => other,
    };
}
