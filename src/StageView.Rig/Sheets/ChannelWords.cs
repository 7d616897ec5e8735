using System.Globalization;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Sheets;

/// <summary>A channel as a data sheet lists it.</summary>
/// <param name="Attribute">Its attribute.</param>
/// <param name="Offsets">Its addresses from the fixture's start, most significant first.</param>
/// <param name="Word">What the sheet calls it.</param>
internal sealed record SheetChannel(string Attribute, List<int> Offsets, string Word);

/// <summary>Reads a list of channels in the words of data sheets.</summary>
internal static class ChannelWords
{
    private static readonly Dictionary<string, string> Known = new(StringComparer.OrdinalIgnoreCase)
    {
        ["pan"] = "Pan", ["tilt"] = "Tilt", ["dimmer"] = "Dimmer", ["intensity"] = "Dimmer", ["shutter"] = "Shutter1", ["strobe"] = "Shutter1",
        ["zoom"] = "Zoom", ["focus"] = "Focus1", ["iris"] = "Iris", ["frost"] = "Frost1",
        ["cyan"] = "ColorSub_C", ["magenta"] = "ColorSub_M", ["yellow"] = "ColorSub_Y", ["cto"] = "CTO",
        ["speed"] = "PositionMSpeed", ["pan/tilt speed"] = "PositionMSpeed", ["move speed"] = "PositionMSpeed", ["dimmer curve"] = "DimmerCurve",
        ["colour macro"] = "ColorMacro1", ["color macro"] = "ColorMacro1", ["macro"] = "Effects1", ["effect"] = "Effects1",
        ["control"] = "Control1", ["function"] = "Control1", ["reset"] = "Control1", ["lamp"] = "Control1", ["fan"] = "Control1",
        ["colour wheel"] = "NoFeature", ["color wheel"] = "NoFeature", ["gobo"] = "NoFeature", ["gobo wheel"] = "NoFeature",
        ["gobo rotation"] = "NoFeature", ["prism"] = "NoFeature", ["prism rotation"] = "NoFeature",
    };

    private static readonly string[] Free = ["-", "free", "unused", "none", "reserved"];

    /// <param name="text">Channels with commas between; a "fine" follows its coarse one.</param>
    /// <param name="emitters">Names of the fixture's emitters: their words mean them.</param>
    /// <param name="channels">What was read.</param>
    /// <param name="why">Names the word that isn't understood.</param>
    public static bool TryRead(string text, IReadOnlyCollection<string> emitters, out List<SheetChannel> channels, out string why)
    {
        channels = [];
        var offset = 0;
        foreach (var word in text.Split(',', StringSplitOptions.TrimEntries))
        {
            offset++;
            if (word.Length == 0 || Free.Contains(word, StringComparer.OrdinalIgnoreCase))
            {
                continue;
            }

            var fine = word.EndsWith(" fine", StringComparison.OrdinalIgnoreCase) || word.Equals("fine", StringComparison.OrdinalIgnoreCase);
            var name = fine ? word[..^4].Trim() : word;
            var attribute = AttributeOf(name, emitters);
            var coarse = fine ? channels.FindLast(c => name.Length == 0 || c.Attribute == attribute) : null;
            if (fine && coarse is { Offsets.Count: < 4 })
            {
                coarse.Offsets.Add(offset);
                continue;
            }

            if (attribute is null || fine)
            {
                why = fine ? $"channel {offset}, \"{word}\": no channel before it that it could be the fine part of"
                    : $"channel {offset}, \"{word}\", is no known word{Nearest.Hint(name, Words(emitters))} Known: {string.Join(", ", Words(emitters))}; an "
                    + "attribute of DIN SPEC 15800; - for one that does nothing";
                return false;
            }

            if (attribute != "NoFeature" && channels.Exists(c => c.Attribute == attribute))
            {
                if (attribute == "Control1")
                {
                    var next = 1 + channels.Count(c => c.Attribute.StartsWith("Control", StringComparison.Ordinal));
                    attribute = string.Create(CultureInfo.InvariantCulture, $"Control{next}");
                }
                else
                {
                    why = $"channel {offset}, \"{word}\": {attribute} is there already";
                    return false;
                }
            }

            channels.Add(new SheetChannel(attribute, [offset], word));
        }

        why = offset > 512 ? "more than 512 channels" : "";
        return why.Length == 0;
    }

    private static IEnumerable<string> Words(IReadOnlyCollection<string> emitters) =>
        Known.Keys.Concat(emitters.Select(e => e.ToLowerInvariant())).Distinct(StringComparer.OrdinalIgnoreCase);

    private static string? AttributeOf(string word, IReadOnlyCollection<string> emitters)
    {
        var emitter = TypicalEmitters.Names.FirstOrDefault(n => n.Name.Equals(word, StringComparison.OrdinalIgnoreCase));
        if (emitter.Name is not null && (emitters.Contains(emitter.Name) || !Known.ContainsKey(word)))
        {
            return "ColorAdd_" + emitter.Ending;
        }

        return Known.GetValueOrDefault(word) ?? (AttributeCatalog.UnitOf(word) is not null ? word : null);
    }
}
