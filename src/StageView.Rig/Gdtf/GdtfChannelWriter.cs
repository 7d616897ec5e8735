using System.Globalization;
using System.Xml.Linq;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Writes a mode's channels, functions, sets and relations.</summary>
internal sealed class GdtfChannelWriter
{
    private readonly FixtureProfile _profile;
    private readonly FixtureMode _mode;
    private readonly string[] _geometries;
    private readonly List<string> _notes;

    /// <summary>Geometry_Attribute of each channel.</summary>
    private readonly string[] _names;

    public GdtfChannelWriter(FixtureProfile profile, FixtureMode mode, string[] geometries, List<string> notes)
    {
        _profile = profile;
        _mode = mode;
        _geometries = geometries;
        _notes = notes;
        _names = [.. mode.Channels.Select(c => $"{geometries[c.Geometry]}_{First(c)}")];
        foreach (var twice in _names.GroupBy(n => n).Where(g => g.Count() > 1))
        {
            notes.Add($"mode {mode.Name}: {twice.Count()} channels are named {twice.Key}; links between channels mean the first");
        }
    }

    public XElement Write(IReadOnlyDictionary<PixelBlock, string> pixels)
    {
        var channels = new XElement("DMXChannels", _mode.Channels.Select(Channel));
        foreach (var (block, pixel) in pixels)
        {
            channels.Add(block.Order.Select((letter, k) => Pixel(block, pixel, letter, k)));
        }

        return new XElement("DMXMode", new XAttribute("Name", GdtfText.Name(_mode.Name)), new XAttribute("Geometry", _geometries[0]), channels, Relations(),
            new XElement("FTMacros"));
    }

    private static string First(DmxChannel c) => c.Functions.Count > 0 ? c.Functions[0].Attribute : "NoFeature";

    private static string FunctionName(ChannelFunction f, int i) => string.Create(CultureInfo.InvariantCulture, $"{GdtfText.Name(f.Name)} {i + 1}");

    private XElement Channel(DmxChannel c)
    {
        var bytes = Math.Max(1, c.Offsets.Count);
        var first = First(c);
        var functions = c.Functions.Select((f, i) => (From: f.DmxFrom, Element: Function(c, f, i, bytes))).ToList();

        // A function runs on to the next: what is left free between two does nothing.
        foreach (var f in c.Functions.Where(f => f.ModeMaster < 0 && f.DmxTo < c.MaxValue && !c.Functions.Any(o => o.DmxFrom == f.DmxTo + 1)))
        {
            functions.Add((f.DmxTo + 1, new XElement("ChannelFunction",
                new XAttribute("Name", string.Create(CultureInfo.InvariantCulture, $"free {f.DmxTo + 1}")), new XAttribute("Attribute", "NoFeature"),
                new XAttribute("DMXFrom", GdtfText.Value(f.DmxTo + 1, bytes)))));
        }

        return new XElement(
            "DMXChannel",
            new XAttribute("DMXBreak", c.Break),
            new XAttribute("Offset", c.Offsets.Count == 0 ? "None" : string.Join(',', c.Offsets.Select(o => o.ToString(CultureInfo.InvariantCulture)))),
            new XAttribute("Highlight", c.Highlight is { } h ? GdtfText.Value(h, bytes) : "None"),
            new XAttribute("Geometry", _geometries[c.Geometry]),
            c.Functions.Count == 0 ? null : new XAttribute("InitialFunction", $"{_names[c.Index]}.{first}.{FunctionName(c.Functions[0], 0)}"),
            new XElement("LogicalChannel", new XAttribute("Attribute", first), new XAttribute("Snap", c.Snap ? "Yes" : "No"), new XAttribute("Master", "None"),
                functions.OrderBy(f => f.From).Select(f => f.Element)));
    }

    private XElement Function(DmxChannel c, ChannelFunction f, int i, int bytes)
    {
        var (fade, ramp) = Motion(c, f);
        var profile = f.Curve switch { ResponseCurve.Square => "square", ResponseCurve.SCurve => "s curve", _ => "" };
        if (f.Curve == ResponseCurve.SquareRoot)
        {
            _notes.Add($"{_names[c.Index]}: its square root response goes out as an even one");
        }

        return new XElement(
            "ChannelFunction",
            new XAttribute("Name", FunctionName(f, i)),
            new XAttribute("Attribute", f.Attribute),
            new XAttribute("DMXFrom", GdtfText.Value(f.DmxFrom, bytes)),
            new XAttribute("Default", GdtfText.Value(i == 0 || c.Default < f.DmxFrom ? c.Default : f.DmxFrom, bytes)),
            new XAttribute("PhysicalFrom", GdtfText.Number(f.PhysicalFrom)),
            new XAttribute("PhysicalTo", GdtfText.Number(f.PhysicalTo)),
            new XAttribute("RealFade", GdtfText.Number(fade)),
            new XAttribute("RealAcceleration", GdtfText.Number(ramp)),
            f.Wheel >= 0 ? new XAttribute("Wheel", GdtfText.Name(_profile.Wheels[f.Wheel].Name)) : null,
            f.Emitter >= 0 ? new XAttribute("Emitter", GdtfText.Name(_profile.Emitters[f.Emitter].Name)) : null,
            profile.Length > 0 ? new XAttribute("DMXProfile", profile) : null,
            f.ModeMaster < 0 ? null : new object[]
            {
                new XAttribute("ModeMaster", _names[f.ModeMaster]),
                new XAttribute("ModeFrom", GdtfText.Value(f.ModeFrom, Math.Max(1, _mode.Channels[f.ModeMaster].Offsets.Count))),
                new XAttribute("ModeTo", GdtfText.Value(f.ModeTo, Math.Max(1, _mode.Channels[f.ModeMaster].Offsets.Count))),
            },
            f.Sets.OrderBy(s => s.DmxFrom).Select(s => new XElement(
                "ChannelSet", new XAttribute("Name", GdtfText.Name(s.Name)), new XAttribute("DMXFrom", GdtfText.Value(s.DmxFrom, bytes)),
                new XAttribute("PhysicalFrom", GdtfText.Number(s.PhysicalFrom)), new XAttribute("PhysicalTo", GdtfText.Number(s.PhysicalTo)),
                new XAttribute("WheelSlotIndex", s.WheelSlot))));
    }

    /// <summary>A trapezoid over the range R: T = R / v + t with t = v / a.</summary>
    private (float Fade, float Ramp) Motion(DmxChannel c, ChannelFunction f)
    {
        var wanted = f.Attribute switch { "Pan" => AxisMotion.TurnZ, "Tilt" => AxisMotion.TurnX, "XYZ_Z" => AxisMotion.TravelZ, _ => (AxisMotion?)null };
        if (wanted is not { } motion || _mode.Geometry[c.Geometry].Axis is not { TopSpeed: > 0 } axis || axis.Motion != motion)
        {
            return (f.RealFade, f.RealAcceleration);
        }

        var ramp = axis.Acceleration > 0 ? axis.TopSpeed / axis.Acceleration : 0;
        return ((MathF.Abs(f.PhysicalTo - f.PhysicalFrom) / axis.TopSpeed) + ramp, ramp);
    }

    private XElement Pixel(PixelBlock block, string pixel, char letter, int k)
    {
        var attribute = "ColorAdd_" + letter switch { 'A' => "RY", var l => l.ToString() };
        var name = letter switch { 'R' => "Red", 'G' => "Green", 'B' => "Blue", 'W' => "White", _ => "Amber" };
        var emitter = _profile.Emitters.FirstOrDefault(e => e.Name.Equals(name, StringComparison.OrdinalIgnoreCase));
        var offsets = Enumerable.Range(1 + (k * block.BytesPerComponent), block.BytesPerComponent);
        return new XElement(
            "DMXChannel", new XAttribute("DMXBreak", "Overwrite"), new XAttribute("Offset", string.Join(',', offsets)), new XAttribute("Highlight", "None"),
            new XAttribute("Geometry", pixel),
            new XElement("LogicalChannel", new XAttribute("Attribute", attribute), new XElement(
                "ChannelFunction", new XAttribute("Name", attribute + " 1"), new XAttribute("Attribute", attribute), new XAttribute("DMXFrom", "0/1"),
                emitter is null ? null : new XAttribute("Emitter", GdtfText.Name(emitter.Name)))));
    }

    private XElement Relations() => new("Relations", _mode.Relations.Select((r, i) => new XElement(
        "Relation", new XAttribute("Name", string.Create(CultureInfo.InvariantCulture, $"relation {i + 1}")), new XAttribute("Master", _names[r.MasterChannel]),
        new XAttribute("Follower", Follower(r)),
        new XAttribute("Type", r.Kind == RelationKind.Override ? "Override" : "Multiply"))));

    private string Follower(ChannelRelation r)
    {
        var channel = _mode.Channels[r.FollowerChannel];
        return $"{_names[r.FollowerChannel]}.{First(channel)}.{FunctionName(channel.Functions[r.FollowerFunction], r.FollowerFunction)}";
    }
}
