using System.Globalization;
using System.Xml.Linq;
using StageView.Rig.Archives;

namespace StageView.Rig.Gdtf;

/// <summary>Lists what of a description is passed over: parts that are known and not used, and elements that are not known at all.</summary>
internal static class GdtfLeftOut
{
    private const int MaxLines = 200;

    /// <summary>Parts that change no light and no patch, with what is said of them; what they hold isn't looked at.</summary>
    private static readonly Dictionary<string, (string Name, string Fate)> Parts = new(StringComparer.Ordinal)
    {
        ["CRIs"] = ("colour rendering indices", "not simulated"), ["Connectors"] = ("connectors", "not used"), ["FTPresets"] = ("presets", "not used"),
        ["Protocols"] = ("protocols", "not used"), ["FTMacros"] = ("macros", "not used, a console plays them and sends what they do"),
    };

    private static readonly HashSet<string> Known = new(StringComparer.Ordinal)
    {
        "AttributeDefinitions", "ActivationGroups", "ActivationGroup", "FeatureGroups", "FeatureGroup", "Feature", "Attributes", "Attribute", "SubPhysicalUnit",
        "Wheels", "Wheel", "Slot", "Facet", "AnimationSystem", "PhysicalDescriptions", "Emitters", "Emitter", "Measurement", "MeasurementPoint", "Filters",
        "Filter",
        "ColorSpace", "AdditionalColorSpaces", "Gamuts", "Gamut", "DMXProfiles", "DMXProfile", "Point", "Properties", "OperatingTemperature", "Weight",
        "PowerConsumption", "LegHeight", "Models", "Model", "Geometries", "Break", "PinPatch", "Protocol", "DMXModes", "DMXMode", "DMXChannels", "DMXChannel",
        "LogicalChannel", "ChannelFunction", "ChannelSet", "SubChannelSet", "Relations", "Relation", "Revisions", "Revision",
    };

    public static void List(XElement type, List<string> notUnderstood)
    {
        var lines = new List<string>();
        Walk(type, lines);
        foreach (var hint in (string[])["MibFade", "DMXChangeTimeLimit"])
        {
            if (type.Descendants("LogicalChannel").Any(l => GdtfValues.Number(l.Attr(hint), 0) > 0))
            {
                lines.Add($"{hint}: a hint for consoles, not used");
            }
        }

        notUnderstood.AddRange(lines.Take(MaxLines));
        if (lines.Count > MaxLines)
        {
            notUnderstood.Add(string.Create(CultureInfo.InvariantCulture, $"and {lines.Count - MaxLines} more parts that are not understood"));
        }
    }

    private static void Walk(XElement holder, List<string> lines)
    {
        foreach (var e in holder.Elements())
        {
            var name = e.Name.LocalName;
            if (Parts.TryGetValue(name, out var what))
            {
                if (e.HasElements)
                {
                    lines.Add($"{what.Name} (line {e.Line()}): {what.Fate}");
                }
            }
            else if (Known.Contains(name) || GdtfParts.IsGeometry(name))
            {
                Walk(e, lines);
            }
            else
            {
                lines.Add($"element {name} (line {e.Line()}): not understood");
            }
        }
    }
}
