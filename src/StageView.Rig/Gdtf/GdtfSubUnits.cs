using System.Xml.Linq;
using StageView.Rig.Archives;

namespace StageView.Rig.Gdtf;

/// <summary>Sub physical units of a file's attributes: what else a function says beside its main value.</summary>
internal sealed class GdtfSubUnits
{
    private readonly Dictionary<string, List<(string Type, float From, float To)>> _units = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, string> _main = new(StringComparer.OrdinalIgnoreCase);

    public GdtfSubUnits(XElement type)
    {
        foreach (var a in type.Element("AttributeDefinitions")?.Element("Attributes")?.Elements("Attribute") ?? [])
        {
            var units = a.Elements("SubPhysicalUnit").Where(u => u.Attribute("PhysicalFrom") is not null || u.Attribute("PhysicalTo") is not null)
                .Select(u => (u.Attr("Type"), GdtfValues.Number(u.Attr("PhysicalFrom"), 0), GdtfValues.Number(u.Attr("PhysicalTo"), 1))).ToList();
            _main.TryAdd(a.Attr("Name"), a.Attr("PhysicalUnit"));
            if (units.Count > 0)
            {
                _units.TryAdd(a.Attr("Name"), units);
            }
        }
    }

    /// <summary>The attribute's own unit as the file writes it (Time, Percent, AngularSpeed …), or empty.</summary>
    public string MainOf(string attribute) => _main.GetValueOrDefault(attribute) is { } unit && unit != "None" ? unit : "";

    /// <summary>What the attribute itself states, where a function states nothing.</summary>
    public IEnumerable<(string Type, float From, float To)> Of(string attribute) => _units.GetValueOrDefault(attribute) ?? [];
}
