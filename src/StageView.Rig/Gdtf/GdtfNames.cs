using System.Xml.Linq;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>
/// Brings names and the links to them (DIN SPEC 15800, "Name" and "Node" in the table of XML attribute value types) to one form, so that a blank at an end
/// of either doesn't part them.
/// </summary>
internal static class GdtfNames
{
    private static readonly HashSet<string> Held = new(StringComparer.Ordinal)
    {
        "Name", "Geometry", "Model", "Wheel", "Emitter", "Filter", "ColorSpace", "Gamut", "DMXProfile", "EmitterSpectrum", "Attribute", "OriginalAttribute",
        "Master", "Follower", "ModeMaster", "InitialFunction", "SubPhysicalUnit", "File", "MediaFileName",
    };

    public static void Settle(XElement root)
    {
        foreach (var a in root.DescendantsAndSelf().Attributes().Where(a => Held.Contains(a.Name.LocalName)))
        {
            a.Value = a.Name.LocalName is "File" or "MediaFileName" ? a.Value.Trim() : Of(a.Value);
        }
    }

    /// <summary>A name, or a link: names that dots divide, the first of them "Geometry_Attribute".</summary>
    public static string Of(string text) =>
        string.Join('.', text.Split('.').Select(NameForm.Of)).Replace(" _", "_", StringComparison.Ordinal);
}
