using System.Globalization;
using StageView.Light.Geometry;

namespace StageView.Rig.Profiles;

/// <summary>
/// Physical ranges that can't be meant: left at the formats' 0 to 1 where a value is an angle or a speed (DIN SPEC 15800, Channel Function, PhysicalFrom and
/// PhysicalTo), or written in percent where it is a share. Says what is taken instead, so that no head stays dark or frozen without a word.
/// </summary>
internal sealed class PlausibleRanges
{
    /// <summary>What is taken where a range was left at 0 to 1: what such fixtures usually have (common practice, no source).</summary>
    private static readonly Dictionary<string, (float From, float To)> Usual = new(StringComparer.OrdinalIgnoreCase)
    {
        ["Pan"] = (-270, 270), ["Tilt"] = (-135, 135), ["HSB_Hue"] = (0, 360),
        ["Gobo(n)Pos"] = (0, 360), ["Prism(n)Pos"] = (0, 360), ["AnimationWheel(n)Pos"] = (0, 360),
        ["Color(n)WheelIndex"] = (0, 360), ["Gobo(n)WheelIndex"] = (0, 360),
        ["Blade(n)Rot"] = (-30, 30), ["ShaperRot"] = (-45, 45),
        ["PanRotate"] = (0, 90), ["TiltRotate"] = (0, 90), ["Color(n)WheelSpin"] = (0, 180), ["Gobo(n)WheelSpin"] = (0, 180),
        ["Gobo(n)PosRotate"] = (0, 180), ["Gobo(n)SelectSpin"] = (0, 180), ["Prism(n)PosRotate"] = (0, 180), ["Prism(n)SelectSpin"] = (0, 180),
        ["AnimationWheel(n)PosRotate"] = (0, 180), ["StrobeFrequency"] = (1, 15),
        ["Shutter(n)Strobe"] = (1, 15), ["Shutter(n)StrobePulse"] = (1, 5), ["Shutter(n)StrobePulseOpen"] = (1, 5), ["Shutter(n)StrobePulseClose"] = (1, 5),
        ["Shutter(n)StrobeRandom"] = (1, 15), ["Shutter(n)StrobeRandomPulse"] = (1, 5), ["Shutter(n)StrobeRandomPulseOpen"] = (1, 5),
        ["Shutter(n)StrobeRandomPulseClose"] = (1, 5), ["Shutter(n)StrobeEffect"] = (1, 5),
        ["IrisStrobe"] = (.5f, 3), ["IrisStrobeRandom"] = (.5f, 3), ["IrisPulse"] = (.5f, 3), ["IrisPulseClose"] = (.5f, 3), ["IrisPulseOpen"] = (.5f, 3),
        ["IrisRandomPulse"] = (.5f, 3), ["IrisRandomPulseClose"] = (.5f, 3), ["IrisRandomPulseOpen"] = (.5f, 3),
        ["Frost(n)PulseOpen"] = (.5f, 3), ["Frost(n)PulseClose"] = (.5f, 3), ["Frost(n)Ramp"] = (.5f, 3),
        ["Color(n)WheelRandom"] = (.2f, 5), ["Gobo(n)WheelRandom"] = (.2f, 5),
    };

    private static readonly string[] Shares = ["Dimmer", "Shutter(n)", "Iris", "Frost(n)", "HSB_Saturation", "HSB_Brightness", "Blade(n)A", "Blade(n)B"];

    private readonly IReadOnlyList<GeometryNode> _nodes;
    private readonly Func<DmxChannel, string> _nameOf;
    private readonly List<string> _notes;

    /// <param name="nodes">The mode's geometry.</param>
    /// <param name="nameOf">What to call a channel.</param>
    /// <param name="notes">Gets a line for each range that is replaced.</param>
    public PlausibleRanges(IReadOnlyList<GeometryNode> nodes, Func<DmxChannel, string> nameOf, List<string> notes)
    {
        _nodes = nodes;
        _nameOf = nameOf;
        _notes = notes;
    }

    public DmxChannel Settle(DmxChannel channel)
    {
        var functions = channel.Functions.Select(f => Settle(channel, f)).ToList();
        var dimmers = functions.Where(f => Is(f, "Dimmer")).ToList();
        if (dimmers.Count > 0 && dimmers.TrueForAll(f => Most(f) <= 0))
        {
            Tell(channel, dimmers[0], "never rises above 0", "0 to 1 is taken");
            functions = [.. functions.Select(f => Is(f, "Dimmer") ? With(f, 0, 1) : f)];
        }

        return channel with { Functions = functions };
    }

    private ChannelFunction Settle(DmxChannel channel, ChannelFunction f)
    {
        var name = AttributeCatalog.General(f.Attribute);
        var left = f.IsRangeLeft && f.Sets.All(s => IsNameOnly(s, f));
        if (name.Equals("Zoom", StringComparison.OrdinalIgnoreCase))
        {
            return Zoom(channel, f, left);
        }

        if (left && Usual.TryGetValue(name, out var usual))
        {
            Tell(channel, f, $"was left at 0 to 1 {AttributeCatalog.UnitOf(f.Attribute)}", string.Create(CultureInfo.InvariantCulture,
                $"{usual.From} to {usual.To} is taken (what is usual)"));
            return With(f, usual.From, usual.To);
        }

        if (name.Equals("Shutter(n)", StringComparison.OrdinalIgnoreCase) && f.IsRangeLeft)
        {
            return Shutter(channel, f);
        }

        if (left && name.Equals("Iris", StringComparison.OrdinalIgnoreCase) && channel.Default - (double)f.DmxFrom < (f.DmxTo - (double)f.DmxFrom) / 2
            && channel.Default >= f.DmxFrom)
        {
            Tell(channel, f, "was left at 0 to 1, which closes it at its default", "1 to 0 is taken: it stands open at its default");
            return With(f, 1, 0);
        }

        if (left && name.EndsWith("MSpeed", StringComparison.OrdinalIgnoreCase))
        {
            return Speed(channel, f);
        }

        var most = Math.Max(MathF.Abs(Most(f)), MathF.Abs(f.PhysicalFrom));
        if (name.EndsWith("MSpeed", StringComparison.OrdinalIgnoreCase) && f.StatedUnit.Length == 0 && most > 1 && (most < 50 || most > 100.5f))
        {
            Tell(channel, f, string.Create(CultureInfo.InvariantCulture, $"of {f.PhysicalFrom} to {f.PhysicalTo} has no unit"), "full speed is taken");
            return f;
        }

        return most > 1.001f && (Shares.Contains(name, StringComparer.OrdinalIgnoreCase) || IsColourShare(f.Attribute)) ? Percent(channel, f, most) : f;
    }

    /// <summary>
    /// A speed whose names run from fast to slow, or that would hardly move at its default: full speed lies at the lower end (common practice, no source).
    /// </summary>
    private ChannelFunction Speed(DmxChannel channel, ChannelFunction f)
    {
        var words = string.Join(' ', f.Sets.OrderBy(s => s.DmxFrom).Select(s => s.Name).Prepend(f.Name)).ToLowerInvariant();
        int At(string a, string b) =>
            new[] { a, b }.Select(w => words.IndexOf(w, StringComparison.Ordinal)).Where(i => i >= 0).DefaultIfEmpty(int.MaxValue).Min();
        var (fast, slow) = (At("fast", "max"), At("slow", "min"));
        var said = fast != int.MaxValue && slow != int.MaxValue;
        var lower = channel.Default >= f.DmxFrom && channel.Default - (double)f.DmxFrom < (f.DmxTo - (double)f.DmxFrom) / 2;
        if (said ? slow < fast : !lower)
        {
            return f;
        }

        Tell(channel, f, said ? "was left at 0 to 1, and its names run from fast to slow" : "was left at 0 to 1, which hardly moves at its default",
            "1 to 0 is taken: full speed at the lower end");
        return With(f, 1, 0);
    }

    private ChannelFunction Zoom(DmxChannel channel, ChannelFunction f, bool left)
    {
        if (left || (Most(f) <= 0 && f.PhysicalFrom <= 0))
        {
            var beam = _nodes.FirstOrDefault(n => n.Beam is not null && IsAtOrBelow(n.Index, channel.Geometry))
                ?? _nodes.FirstOrDefault(n => n.Beam is not null);
            var angle = beam is null ? 25 : MathF.Round(Angles.Degrees(beam.Beam!.BeamAngle), 3);
            Tell(channel, f, left ? "was left at 0 to 1 deg" : "is no angle", string.Create(CultureInfo.InvariantCulture,
                $"the beam's own {angle} deg are taken"));
            return With(f, angle, angle);
        }

        const float Widest = 179;
        if (Most(f) > Widest)
        {
            Tell(channel, f, string.Create(CultureInfo.InvariantCulture, $"goes to {Most(f)} deg"), "at most 179 deg are taken");
            return f with
            {
                PhysicalFrom = Math.Min(f.PhysicalFrom, Widest),
                PhysicalTo = Math.Min(f.PhysicalTo, Widest),
                Sets = [.. f.Sets.Select(s => s with { PhysicalFrom = Math.Min(s.PhysicalFrom, Widest), PhysicalTo = Math.Min(s.PhysicalTo, Widest) })],
            };
        }

        return f;
    }

    /// <summary>A shutter whose stretches are named open and closed and have no range of their own.</summary>
    private ChannelFunction Shutter(DmxChannel channel, ChannelFunction f)
    {
        static bool Has(string name, string word) => name.Contains(word, StringComparison.OrdinalIgnoreCase);
        static float? Said(string name) => Has(name, "clos") || Has(name, "blackout") ? 0 : Has(name, "open") ? 1 : null;
        if (f.Sets.Any(s => IsNameOnly(s, f) && Said(s.Name) is not null))
        {
            Tell(channel, f, "was left at 0 to 1", "its sets named open and closed are taken as such");
            return f with
            {
                Sets = [.. f.Sets.Select(s => IsNameOnly(s, f) && Said(s.Name) is { } v ? s with { PhysicalFrom = v, PhysicalTo = v } : s)],
            };
        }

        if (f.Sets.All(s => IsNameOnly(s, f)) && Said(f.Name) is { } own)
        {
            Tell(channel, f, "was left at 0 to 1", own > 0 ? "it is taken as open, as it is named" : "it is taken as closed, as it is named");
            return With(f, own, own);
        }

        return f;
    }

    private ChannelFunction Percent(DmxChannel channel, ChannelFunction f, float most)
    {
        var full = most is >= 50 and <= 100.5f ? 100 : most;
        Tell(channel, f, string.Create(CultureInfo.InvariantCulture, $"goes to {most}, but is a share of 0 to 1"), string.Create(CultureInfo.InvariantCulture,
            $"{full} is taken as full"));
        return f with
        {
            PhysicalFrom = f.PhysicalFrom / full,
            PhysicalTo = f.PhysicalTo / full,
            Sets = [.. f.Sets.Select(s => s with { PhysicalFrom = s.PhysicalFrom / full, PhysicalTo = s.PhysicalTo / full })],
        };
    }

    /// <summary>The range, and that of the sets that have none of their own.</summary>
    private static ChannelFunction With(ChannelFunction f, float from, float to) => f with
    {
        PhysicalFrom = from,
        PhysicalTo = to,
        IsRangeLeft = false,
        Sets = [.. f.Sets.Select(s => IsNameOnly(s, f) ? s with { PhysicalFrom = from, PhysicalTo = to } : s)],
    };

    private static bool IsNameOnly(ChannelSet s, ChannelFunction f) => s.PhysicalFrom == f.PhysicalFrom && s.PhysicalTo == f.PhysicalTo;

    private static bool Is(ChannelFunction f, string attribute) => f.Attribute.Equals(attribute, StringComparison.OrdinalIgnoreCase);

    private static bool IsColourShare(string attribute) => attribute.StartsWith("ColorAdd_", StringComparison.OrdinalIgnoreCase)
        || attribute.StartsWith("ColorSub_", StringComparison.OrdinalIgnoreCase) || attribute.StartsWith("ColorRGB_", StringComparison.OrdinalIgnoreCase);

    private static float Most(ChannelFunction f) =>
        f.Sets.SelectMany(s => (float[])[s.PhysicalFrom, s.PhysicalTo]).Append(f.PhysicalFrom).Append(f.PhysicalTo).Max();

    private bool IsAtOrBelow(int node, int ancestor)
    {
        while (node >= 0 && node != ancestor)
        {
            node = _nodes[node].Parent;
        }

        return node == ancestor;
    }

    private void Tell(DmxChannel channel, ChannelFunction f, string what, string instead) =>
        _notes.Add($"{f.Attribute} of channel {_nameOf(channel)}, function {f.Name}: its range {what}; {instead}");
}
