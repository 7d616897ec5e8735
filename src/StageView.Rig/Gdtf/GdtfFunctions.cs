using System.Globalization;
using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>Reads the functions and sets of a channel. A function ends before the next one that can be active at the same time.</summary>
internal sealed class GdtfFunctions
{
    private readonly List<DmxChannel> _channels;
    private readonly List<(string Template, XElement Element)> _from;
    private readonly GdtfLinks _links;
    private readonly List<Wheel> _wheels;
    private readonly GdtfPhysical _light;
    private readonly GdtfSubUnits _subUnits;
    private readonly List<string> _notUnderstood;

    public GdtfFunctions(
        List<DmxChannel> channels, List<(string, XElement)> from, GdtfLinks links, List<Wheel> wheels, GdtfPhysical light, GdtfSubUnits subUnits,
        List<string> notUnderstood)
    {
        _channels = channels;
        _from = from;
        _links = links;
        _wheels = wheels;
        _light = light;
        _subUnits = subUnits;
        _notUnderstood = notUnderstood;
    }

    public DmxChannel Fill(int index)
    {
        var channel = _channels[index];
        var element = _from[index].Element;
        var width = Math.Max(1, channel.Offsets.Count);
        var read = new List<(ChannelFunction Function, XElement Element)>();
        foreach (var logical in element.Elements("LogicalChannel"))
        {
            foreach (var f in logical.Elements("ChannelFunction"))
            {
                var fallback = string.Create(CultureInfo.InvariantCulture, $"{f.Attr("Attribute", "NoFeature")} {read.Count + 1}");
                read.Add((Function(channel, f, width, fallback), f));
            }
        }

        if (read.Count == 0)
        {
            _notUnderstood.Add($"channel {channel.Name} (line {element.Line()}): has no function");
        }

        read = [.. read.OrderBy(r => r.Function.ModeMaster).ThenBy(r => r.Function.ModeFrom).ThenBy(r => r.Function.DmxFrom)];
        var functions = read.Select(r => r.Function with { DmxTo = End(r.Function, read.Select(o => o.Function), channel.MaxValue) }).ToList();
        functions = [.. functions.Select((f, i) => f with { Sets = Sets(f, read[i].Element, width) })];
        UnclearSets.Tell(functions, _notUnderstood);
        var initial = Initial(element, read.Select(r => r.Element).ToList(), functions);
        return channel with
        {
            Functions = functions,
            Default = Default(element, initial, width),
            Highlight = element.Attr("Highlight") is { Length: > 0 } h && h != "None" ? GdtfValues.DmxValue(h, width) : null,
        };
    }

    private ChannelFunction Function(DmxChannel channel, XElement f, int width, string fallbackName)
    {
        var attribute = f.Attr("Attribute", "NoFeature");
        if (!AttributeCatalog.IsSimulated(attribute))
        {
            _notUnderstood.Add($"attribute {attribute}: not simulated: {WhyNotSimulated.Of(attribute)}");
        }

        var (master, from, to) = ModeMaster(channel, f);
        var own = new ChannelFunction
        {
            Name = f.Attr("Name", fallbackName),
            Attribute = attribute,
            DmxFrom = GdtfValues.DmxValue(f.Attr("DMXFrom", "0/1"), width) ?? 0,
            DmxTo = channel.MaxValue,
            PhysicalFrom = GdtfValues.Number(f.Attr("PhysicalFrom"), 0),
            PhysicalTo = GdtfValues.Number(f.Attr("PhysicalTo"), 1),
            RealFade = Math.Max(0, GdtfValues.Number(f.Attr("RealFade"), 0)),
            RealAcceleration = Math.Max(0, GdtfValues.Number(f.Attr("RealAcceleration"), 0)),
            Wheel = _wheels.FindIndex(w => w.Name == f.Attr("Wheel") && w.Name.Length > 0),
            StatedUnit = _subUnits.MainOf(attribute),
            Emitter = _light.Emitters.FindIndex(e => e.Name == f.Attr("Emitter") && e.Name.Length > 0),
            ModeMaster = master,
            ModeFrom = from,
            ModeTo = to,
        };
        own = own with { IsRangeLeft = own.PhysicalFrom == 0 && own.PhysicalTo == 1 };
        return new GdtfLightLinks(_light, _subUnits, _notUnderstood).Add(own, f, channel.Name);
    }

    /// <summary>A mode master is a channel (Geometry_Attribute) or a function of one (Geometry_Attribute.Attribute.Name).</summary>
    private (int Master, uint From, uint To) ModeMaster(DmxChannel channel, XElement f)
    {
        if (f.Attr("ModeMaster") is not { Length: > 0 } named)
        {
            return (-1, 0, 0);
        }

        var pieces = named.Split('.');
        var master = _links.Nearest(pieces[0], channel.Geometry);
        if (master < 0)
        {
            _notUnderstood.Add($"function {f.Attr("Name")} of {channel.Name}: its mode master {named} was not found; taken as always active");
            return (-1, 0, 0);
        }

        var width = Math.Max(1, _channels[master].Offsets.Count);
        return (master, GdtfValues.DmxValue(f.Attr("ModeFrom", "0/1"), width) ?? 0, GdtfValues.DmxValue(f.Attr("ModeTo", "0/1"), width) ?? 0);
    }

    private static uint End(ChannelFunction f, IEnumerable<ChannelFunction> all, uint max)
    {
        var end = max;
        foreach (var o in all)
        {
            var together = o.ModeMaster < 0 || f.ModeMaster < 0
                || (o.ModeMaster == f.ModeMaster && o.ModeFrom <= f.ModeTo && f.ModeFrom <= o.ModeTo);
            if (together && o.DmxFrom > f.DmxFrom && o.DmxFrom - 1 < end)
            {
                end = o.DmxFrom - 1;
            }
        }

        return end;
    }

    private List<ChannelSet> Sets(ChannelFunction f, XElement element, int width)
    {
        var raw = element.Elements("ChannelSet")
            .Select(s => (Element: s, From: GdtfValues.DmxValue(s.Attr("DMXFrom", "0/1"), width) ?? 0))
            .Where(s => s.From >= f.DmxFrom && s.From <= f.DmxTo).OrderBy(s => s.From).ToList();
        var sets = new List<ChannelSet>();
        for (var i = 0; i < raw.Count; i++)
        {
            var to = raw.Skip(i + 1).Select(n => n.From).FirstOrDefault(n => n > raw[i].From) is var next && next > 0 ? next - 1 : f.DmxTo;
            var slot = GdtfValues.Integer(raw[i].Element.Attr("WheelSlotIndex"), 0);
            var most = f.Wheel >= 0 ? _wheels[f.Wheel].Slots.Count : 0;
            sets.Add(new ChannelSet(
                raw[i].Element.Attr("Name"),
                raw[i].From,
                to,
                GdtfValues.Number(raw[i].Element.Attr("PhysicalFrom"), f.PhysicalFrom),
                GdtfValues.Number(raw[i].Element.Attr("PhysicalTo"), f.PhysicalTo),
                slot >= 1 && slot <= most ? slot : 0));
        }

        return f.Wheel >= 0 && sets.Count > 0 && sets.TrueForAll(s => s.WheelSlot == 0) ? ByName(f, sets) : sets;
    }

    /// <summary>Sets none of which names a slot (DIN SPEC 15800, Channel Set, WheelSlotIndex): they mean the slots of their names, if there are any.</summary>
    private List<ChannelSet> ByName(ChannelFunction f, List<ChannelSet> sets)
    {
        var slots = _wheels[f.Wheel].Slots;
        var named = sets.Select(s => s with { WheelSlot = slots.ToList().FindIndex(w => NameForm.Of(w.Name) == NameForm.Of(s.Name) && s.Name.Length > 0) + 1 })
            .ToList();
        if (AttributeCatalog.General(f.Attribute) is "Color(n)" or "Gobo(n)" or "Prism(n)" or "AnimationWheel(n)")
        {
            _notUnderstood.Add($"function {f.Name} ({f.Attribute}): none of its sets names a slot of the wheel {_wheels[f.Wheel].Name}; "
                + (named.Exists(s => s.WheelSlot > 0) ? "those named as a slot is are taken for it" : "nothing of the wheel is shown"));
        }

        return named;
    }

    /// <summary>InitialFunction is Geometry_Attribute.Attribute.Name; the first function where there is none.</summary>
    private static XElement? Initial(XElement channel, List<XElement> elements, List<ChannelFunction> functions)
    {
        var name = channel.Attr("InitialFunction").Split('.')[^1];
        var i = functions.FindIndex(f => f.Name == name);
        return i >= 0 ? elements[i] : elements.Count > 0 ? elements[0] : null;
    }

    private static uint Default(XElement channel, XElement? initial, int width)
    {
        // Older files have the default on the channel.
        var written = initial?.Attr("Default") is { Length: > 0 } own ? own : channel.Attr("Default");
        return GdtfValues.DmxValue(written, width) ?? 0;
    }
}
