using System.Globalization;
using System.Numerics;
using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Gdtf;

namespace StageView.Rig.Mvr;

/// <summary>What an MVR object says beside its place, type and patch: some of it is kept as a note for people, the rest is listed, kind by kind.</summary>
internal sealed class MvrExtras
{
    /// <summary>Children that the reader acts on itself.</summary>
    private static readonly HashSet<string> Used = new(StringComparer.Ordinal)
    {
        "Matrix", "Classing", "Geometries", "Focus", "DMXInvertPan", "DMXInvertTilt", "Position", "FixtureID", "FixtureIDNumeric", "Addresses", "ChildList",
        "ChildPosition", "Sources", "Connections",
    };

    /// <summary>Kept as a note: they tell people which one it is.</summary>
    private static readonly string[] Kept = ["Function", "UnitNumber", "CustomId", "CustomIdType"];

    private readonly SortedDictionary<(string Child, string Kind), (int Count, string First)> _passedOver = [];

    /// <returns>The note, or empty.</returns>
    public string Read(XElement e)
    {
        var kind = e.Name.LocalName;
        foreach (var child in e.Elements().Where(c => !IsUsed(c, kind) && Says(c)))
        {
            var key = (child.Name.LocalName, kind);
            var known = _passedOver.GetValueOrDefault(key, (0, e.Attr("name")));
            _passedOver[key] = (known.Item1 + Math.Max(1, child.Elements().Count()), known.Item2);
        }

        return string.Join(", ", Kept.Select(k => (Name: k, Value: e.Element(k)?.Value.Trim() ?? "")).Where(k => k.Value.Length > 0 && k.Value != "0")
            .Select(k => $"{k.Name} {k.Value}"));
    }

    public void List(List<string> notUnderstood)
    {
        foreach (var (key, seen) in _passedOver)
        {
            notUnderstood.Add(string.Create(CultureInfo.InvariantCulture,
                $"{key.Child} of {key.Kind} \"{seen.First}\"{(seen.Count > 1 ? $" and others, {seen.Count} in all" : "")}: not used"));
        }
    }

    /// <summary>A Color other than white: the filter in the fixture.</summary>
    public static bool IsFilter(string text, out Vector3 transmission)
    {
        transmission = Vector3.One;
        if (GdtfValues.Colour(text) is not { } c || (MathF.Abs(c.X - .3127f) < .001f && MathF.Abs(c.Y - .3290f) < .001f && c.Luminance is > 99 or <= 0))
        {
            return false;
        }

        transmission = GdtfValues.Transmission(c);
        return true;
    }

    private static bool IsUsed(XElement child, string kind) => Used.Contains(child.Name.LocalName) || Kept.Contains(child.Name.LocalName)
        || (kind == "Fixture" && child.Name.LocalName is "GDTFSpec" or "GDTFMode" or "Mappings" or "Overwrites");

    /// <summary>Whether it says anything that isn't the standard's default.</summary>
    private static bool Says(XElement child)
    {
        var text = child.Value.Trim();
        return child.Name.LocalName switch
        {
            "CastShadow" => text == "false",
            "FixtureTypeId" or "ChainLength" => text.Length > 0 && text != "0",
            "Color" => child.Parent?.Name.LocalName != "Fixture" && IsFilter(text, out _),
            _ => child.HasElements || text.Length > 0,
        };
    }
}
