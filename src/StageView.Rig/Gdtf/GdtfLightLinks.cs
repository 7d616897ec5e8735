using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>What a channel function links to in the physical descriptions, where it changes the light; what it can't use is listed.</summary>
internal sealed class GdtfLightLinks
{
    private readonly GdtfPhysical _light;
    private readonly GdtfSubUnits _subUnits;
    private readonly List<string> _notUnderstood;

    public GdtfLightLinks(GdtfPhysical light, GdtfSubUnits subUnits, List<string> notUnderstood)
    {
        _light = light;
        _subUnits = subUnits;
        _notUnderstood = notUnderstood;
    }

    public ChannelFunction Add(ChannelFunction function, XElement f, string channel)
    {
        void Unused(string text) => _notUnderstood.Add($"function {function.Name} of {channel}: {text}");

        var indirect = function.Attribute.StartsWith("ColorRGB_", StringComparison.OrdinalIgnoreCase)
            || function.Attribute.StartsWith("HSB_", StringComparison.OrdinalIgnoreCase)
            || function.Attribute.StartsWith("CIE_", StringComparison.OrdinalIgnoreCase);
        var space = f.Attr("ColorSpace");
        var gamut = f.Attr("Gamut");
        if ((space.Length > 0 || gamut.Length > 0) && !indirect)
        {
            Unused("its colour space or gamut is not used, it mixes no colour indirectly");
        }

        if (indirect)
        {
            var named = _light.Spaces.FindIndex(s => s.Name == space.Split('.')[^1]);
            if (space.Length > 0 && named < 0)
            {
                Unused($"there is no colour space {space}");
            }

            function = function with
            {
                ColourSpace = named >= 0 ? named : _light.HasMainSpace && _light.Spaces.Count > 0 ? 0 : -1,
                Gamut = _light.Gamut(gamut.Split('.')[^1]) ?? [],
            };
            if (gamut.Length > 0 && function.Gamut.Count == 0)
            {
                Unused($"there is no gamut {gamut}");
            }
        }

        return SubSets(Filter(Profile(function, f, Unused), f, Unused), f, Unused);
    }

    /// <summary>Min and Max are the physical values at 0 and 100 % of the profile; what comes out is held within PhysicalFrom and PhysicalTo.</summary>
    private ChannelFunction Profile(ChannelFunction function, XElement f, Action<string> unused)
    {
        if (f.Attr("DMXProfile") is not { Length: > 0 } named)
        {
            return function;
        }

        if (_light.Profile(named) is not { } curve)
        {
            unused($"there is no usable DMX profile {named}; it stays linear");
            return function;
        }

        var min = GdtfValues.Number(f.Attr("Min"), function.PhysicalFrom);
        var max = GdtfValues.Number(f.Attr("Max"), function.PhysicalTo);
        var span = function.PhysicalTo - function.PhysicalFrom;
        if (span == 0)
        {
            return function with { PhysicalFrom = min, PhysicalTo = max, Pieces = curve };
        }

        var (lift, scale) = ((min - function.PhysicalFrom) / span, (max - min) / span);
        return function with
        {
            Pieces = lift == 0 && scale == 1 ? curve : new CubicCurve(curve.Pieces
                .Select(p => new CubicPiece(p.From, lift + (scale * p.C0), scale * p.C1, scale * p.C2, scale * p.C3))
                .Prepend(new CubicPiece(-1, lift, 0, 0, 0))),
        };
    }

    private ChannelFunction Filter(ChannelFunction function, XElement f, Action<string> unused)
    {
        if (f.Attr("Filter") is not { Length: > 0 } named)
        {
            return function;
        }

        var filter = _light.Filters.FindIndex(x => x.Name == named.Split('.')[^1]);
        var flag = function.Attribute.ToUpperInvariant() is "COLORSUB_C" or "COLORSUB_M" or "COLORSUB_Y" or "CTO" or "CTB" or "CTC";
        if (filter < 0)
        {
            unused($"there is no filter {named}");
        }
        else if (!flag || Math.Max(function.PhysicalFrom, function.PhysicalTo) > 100)
        {
            unused(flag ? "its filter is not used, the range names the temperature itself"
                : "its filter is not used, the attribute puts no flag into the beam");
        }
        else
        {
            return function with { Filter = filter };
        }

        return function;
    }

    private ChannelFunction SubSets(ChannelFunction function, XElement f, Action<string> unused)
    {
        var stated = f.Elements().Where(e => e.Name.LocalName.Equals("SubChannelSet", StringComparison.OrdinalIgnoreCase))
            .Select(s => (Type: s.Attr("SubPhysicalUnit").Split('.')[^1], From: GdtfValues.Number(s.Attr("PhysicalFrom"), 0),
                To: GdtfValues.Number(s.Attr("PhysicalTo"), 0), Curve: s.Attr("DMXProfile"))).ToList();
        var iris = function.Attribute.StartsWith("Iris", StringComparison.OrdinalIgnoreCase);
        var strobe = function.Attribute.Contains("Strobe", StringComparison.OrdinalIgnoreCase)
            || (iris && function.Attribute.Contains("Pulse", StringComparison.OrdinalIgnoreCase));
        foreach (var (type, from, to) in _subUnits.Of(function.Attribute))
        {
            if (strobe && (type is "DutyCycle" or "Duration" || (iris && type == "MinimumOpening")) && !stated.Exists(s => s.Type == type))
            {
                stated.Add((type, from, to, ""));
            }
        }

        foreach (var s in stated)
        {
            if (s.Curve.Length > 0)
            {
                unused($"the DMX profile of its {s.Type} is not used; it runs evenly");
            }

            switch (s.Type)
            {
                case "DutyCycle" when strobe:
                    // A percentage where it goes beyond 1.
                    var full = Math.Max(s.From, s.To) > 1 ? 100 : 1;
                    function = function with { Duty = (Math.Clamp(s.From / full, 0, 1), Math.Clamp(s.To / full, 0, 1)) };
                    break;
                case "Duration" when strobe:
                    function = function with { FlashSeconds = (Math.Max(0, s.From), Math.Max(0, s.To)) };
                    break;
                case "MinimumOpening" when iris:
                    var whole = Math.Max(s.From, s.To) > 1 ? 100 : 1;
                    function = function with { LeastOpening = (Math.Clamp(s.From / whole, 0, 1), Math.Clamp(s.To / whole, 0, 1)) };
                    break;
                default:
                    unused($"its sub channel set of {(s.Type.Length > 0 ? s.Type : "an unnamed unit")} is not used");
                    break;
            }
        }

        return function;
    }
}
