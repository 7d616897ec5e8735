using System.Globalization;
using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>How many of its lists' entries a description may hold: channels look their wheels, emitters and filters up in them.</summary>
internal static class GdtfCounts
{
    private const int MaxSlots = 10_000;
    private const int MaxLines = 2000;

    private static readonly (string Holder, string Element, int Most)[] Bounds =
    [
        ("Wheels", "Wheel", 500), ("Emitters", "Emitter", 500), ("Filters", "Filter", 1000), ("DMXProfiles", "DMXProfile", 500),
        ("AdditionalColorSpaces", "ColorSpace", 100), ("Gamuts", "Gamut", 100), ("Models", "Model", 1000), ("DMXModes", "DMXMode", 2000),
        ("Geometries", "", 20_000), ("Attributes", "Attribute", 20_000),
    ];

    /// <param name="type">The FixtureType.</param>
    public static bool Check(XElement type, string file, ProblemList problems)
    {
        foreach (var (name, element, most) in Bounds)
        {
            foreach (var holder in type.Descendants(name))
            {
                var count = element.Length > 0 ? holder.Elements(element).Count() : holder.Elements().Count();
                if (count > most)
                {
                    problems.Error(GdtfFile.Within(file, holder.Line()), $"{name} holds {count}: at most {most} are read");
                    return false;
                }
            }
        }

        var slots = type.Element("Wheels")?.Elements("Wheel").Sum(w => w.Elements("Slot").Count()) ?? 0;
        if (slots > MaxSlots)
        {
            problems.Error(GdtfFile.Within(file, type.Line()), $"the wheels hold {slots} slots: at most {MaxSlots} are read");
        }

        return slots <= MaxSlots;
    }

    /// <summary>Each line once, and not without end.</summary>
    public static IReadOnlyList<string> Shortened(List<string> lines)
    {
        var all = lines.Distinct().ToList();
        return all.Count <= MaxLines ? all
            : [.. all.Take(MaxLines), string.Create(CultureInfo.InvariantCulture, $"and {all.Count - MaxLines} more lines of this kind")];
    }
}
