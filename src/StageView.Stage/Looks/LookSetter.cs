using System.Globalization;
using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Programs;

namespace StageView.Stage.Looks;

/// <summary>
/// Sets fixtures from a look's entries, in physical units: <c>{ "fixtures": "spots", "dimmer": 0.8, "zoom": "12deg",
/// "colour": "#ff8800", "aim": [0, 2, 1.6] }</c>. Keys are plain words or DIN SPEC 15800 attribute names.
/// </summary>
/// <param name="levels">Where the levels go.</param>
/// <param name="points">Named points that <c>aim</c> may use, m.</param>
/// <param name="most">How many settings of fixtures the entries may come to, each key of each entry counted by itself.</param>
internal sealed partial class LookSetter(LevelsEncoder levels, IReadOnlyDictionary<string, Vector3> points, int most = LookSetter.MostOfALook)
{
    public const int MostOfALook = 100_000;
    public const int MostOfAShow = 5_000_000;

    private static readonly Dictionary<string, string> Words = new(StringComparer.OrdinalIgnoreCase)
    {
        ["dimmer"] = "Dimmer", ["pan"] = "Pan", ["tilt"] = "Tilt", ["zoom"] = "Zoom", ["iris"] = "Iris", ["frost"] = "Frost1", ["focus"] = "Focus",
        ["strobe"] = "Shutter1Strobe", ["gobo"] = "Gobo1", ["goboAngle"] = "Gobo1Pos", ["goboTurn"] = "Gobo1PosRotate", ["prism"] = "Prism1",
        ["prismTurn"] = "Prism1PosRotate", ["wheel"] = "Color1", ["height"] = "XYZ_Z", ["shutter"] = "Shutter1",
    };

    private static readonly HashSet<string> NotSet = new(StringComparer.Ordinal) { "fixtures", "order", "note", "fade", "delay", "curve", "over" };

    private readonly LevelsEncoder _levels = levels;
    private readonly IReadOnlyDictionary<string, Vector3> _points = points;
    private readonly FixtureMode[] _modes = [.. levels.Rig.Fixtures.Select(f => f.Mode).Distinct()];

    /// <summary>Sets a fixture to its part of what is shared out.</summary>
    /// <param name="index">Its place in the selection, from 0.</param>
    private delegate bool Setting(Fixture fixture, int index, int count, out string why);

    /// <summary>Fixtures set by the entries so far, each key of each entry counted by itself; a look that set none has no line that can be used.</summary>
    public int Sets { get; private set; }

    /// <summary>Settings that the entries asked for so far, whether they could be done or not.</summary>
    public long Asked { get; private set; }

    /// <summary>
    /// Applies one checked entry. A mistake in it is an error; what single fixtures can't do is a warning, and the others still do it.
    /// </summary>
    public void Apply(SourceNode entry, ProblemList problems)
    {
        if (Select(_levels.Rig, entry, problems) is not { } fixtures)
        {
            return;
        }

        var before = Asked;
        Asked += (long)fixtures.Count * entry.Members.Count;
        if (Asked > most)
        {
            if (before <= most)
            {
                problems.Error(entry, $"with this the entries come to more than {most} settings of fixtures, which is the most that is read");
            }

            return;
        }

        Open(entry, fixtures);
        foreach (var member in entry.Members.Where(m => !NotSet.Contains(m.Key) && m.Value.Kind != SourceKind.Null))
        {
            if (!IsKnown(member, fixtures, problems) || SettingOf(member, problems) is not { } setting)
            {
                continue;
            }

            var first = "";
            var refused = new List<string>();
            for (var i = 0; i < fixtures.Count; i++)
            {
                if (setting(fixtures[i], i, fixtures.Count, out var why))
                {
                    Sets++;
                }
                else
                {
                    first = refused.Count == 0 ? why : first;
                    refused.Add(fixtures[i].Name);
                }
            }

            if (refused.Count > 0)
            {
                var others = refused.Count == 1 ? "" : $"; nor can {string.Join(", ", refused.Skip(1).Take(8))}"
                    + (refused.Count > 9 ? string.Create(CultureInfo.InvariantCulture, $" and {refused.Count - 9} more") : "");
                problems.Warn(member.Value, first + others);
            }
        }
    }

    /// <summary>The fixtures of an entry in its order, or null with a problem noted.</summary>
    public static IReadOnlyList<Fixture>? Select(RigScene rig, SourceNode entry, ProblemList problems)
    {
        if (entry.Get("fixtures") is not { Kind: SourceKind.Text } who)
        {
            return null;
        }

        if (FixtureSelection.TryFind(rig, who.Text, out var fixtures, out var why))
        {
            return SelectionOrder.Of(fixtures, entry.TextOr("order"));
        }

        problems.Error(who, why);
        return null;
    }

    /// <summary>The attribute that a key stands for.</summary>
    public static string AttributeOf(string key) => Words.GetValueOrDefault(key, key);

    /// <summary>An entry that sets a dimmer and says nothing of the shutter opens it.</summary>
    private void Open(SourceNode entry, IReadOnlyList<Fixture> fixtures)
    {
        var names = entry.Members.Select(m => AttributeOf(m.Key)).ToArray();
        if (!names.Contains("Dimmer") || names.Any(n => n.StartsWith("Shutter", StringComparison.Ordinal)))
        {
            return;
        }

        foreach (var fixture in fixtures.Where(f => LevelsEncoder.AttributesOf(f).Contains("Shutter1")))
        {
            _levels.TrySet(fixture, "Shutter1", 1, out _);
        }
    }

    /// <summary>Whether a key is a word of ours, an attribute of the standard, or something that one of the fixtures has.</summary>
    private static bool IsKnown(SourceMember member, IReadOnlyList<Fixture> fixtures, ProblemList problems)
    {
        if (Words.ContainsKey(member.Key) || member.Key is "colour" or "aim" or "bounce" || AttributeCatalog.UnitOf(member.Key) is not null)
        {
            return true;
        }

        var there = fixtures.Select(f => f.Mode).Distinct().SelectMany(m => m.Channels).SelectMany(c => c.Functions).Select(f => f.Attribute)
            .Where(a => a is not ("" or "NoFeature")).Distinct(StringComparer.OrdinalIgnoreCase).ToList();
        if (there.Contains(member.Key, StringComparer.OrdinalIgnoreCase) || there.Contains(member.Key + "1", StringComparer.OrdinalIgnoreCase))
        {
            return true;
        }

        var known = LookKeys.Entry.Keys.Select(k => k.Name).Concat(there);
        problems.Error(member,
            $"\"{member.Key}\" is no key of an entry and no attribute{Nearest.Hint(member.Key, known)} These fixtures have {string.Join(", ", there)}");
        return false;
    }

    /// <summary>What a key asks for, or null with a problem noted.</summary>
    private Setting? SettingOf(SourceMember member, ProblemList problems)
    {
        var value = member.Value;
        switch (member.Key)
        {
            case "colour":
                return ColourSetting(value, problems);
            case "aim":
                var mirror = value.Get("mirror")?.Text;
                return TryAims(value, problems, out var aims, out var isLine)
                    ? (Fixture f, int i, int n, out string why) => TryAim(f, i, n, aims, isLine, mirror, out why) : null;
            case "bounce":
                return TryPoint(value.Get("from")!, problems, out var from) && TryPoint(value.Get("to")!, problems, out var to)
                    ? (Fixture f, int _, int _, out string why) => TryTurnMirror(f, from, to, out why) : null;
            default:
                return AmountSetting(AttributeOf(member.Key), value, problems);
        }
    }

    private Setting? AmountSetting(string attribute, SourceNode value, ProblemList problems)
    {
        var slot = value.Kind == SourceKind.Text ? value.Text : value.Number.ToString(CultureInfo.InvariantCulture);
        var isSlot = value.Kind is SourceKind.Text or SourceKind.Number;
        float a = 0, b = 0;
        var why = "";
        var reads = value.Kind == SourceKind.List
            ? TryNumber(value.Items[0], out a, out why) && TryNumber(value.Items[1], out b, out why)
            : TryNumber(value, out a, out why);
        var takesSlots = isSlot && _modes.Any(m => IsSlot(m, attribute));
        if (!reads && !takesSlots)
        {
            problems.Error(value, why);
            return null;
        }

        b = value.Kind == SourceKind.List ? b : a;
        return (Fixture fixture, int index, int count, out string refusal) =>
        {
            if (isSlot && IsSlot(fixture.Mode, attribute))
            {
                return _levels.TrySetSlot(fixture, attribute, slot, out refusal);
            }

            if (!reads)
            {
                refusal = $"{fixture.Name}: has no {attribute} with slots";
                return false;
            }

            // [from, to] fans over the selection.
            var physical = count < 2 ? a : a + ((b - a) * index / (count - 1));
            return attribute == "Dimmer" ? _levels.TryDim(fixture, physical, out refusal) : _levels.TrySet(fixture, attribute, physical, out refusal);
        };
    }

    private Setting? ColourSetting(SourceNode value, ProblemList problems)
    {
        IReadOnlyList<SourceNode> written = value switch
        {
            { Kind: SourceKind.Object } => [value.Get("from")!, value.Get("to")!],
            { Kind: SourceKind.List } when value.Items[0].Kind == SourceKind.Text => value.Items,
            _ => [value],
        };
        var colours = new ColourWanted[written.Count];
        for (var i = 0; i < colours.Length; i++)
        {
            if (!TryColour(written[i], out colours[i]))
            {
                problems.Error(written[i], "is not a colour: \"#rrggbb\", a temperature from 1667K to 25000K, or CIE [x, y]");
                return null;
            }
        }

        var shared = value.Kind == SourceKind.Object;
        return (Fixture fixture, int index, int count, out string why) => _levels.TrySetColour(fixture,
            shared ? Between(colours[0], colours[1], count < 2 ? .5f : index / (float)(count - 1)) : colours[index % colours.Length], out why);
    }

    /// <summary>On the way from one colour to another, straight in linear light; two temperatures go by their values.</summary>
    private static ColourWanted Between(ColourWanted a, ColourWanted b, float share)
    {
        var rgb = Vector3.Lerp(a.Rgb, b.Rgb, share);
        if (a.Kelvin > 0 && b.Kelvin > 0)
        {
            return ColourWanted.TryParse(string.Create(CultureInfo.InvariantCulture, $"{float.Lerp(a.Kelvin, b.Kelvin, share)}K"), out var k) ? k : a;
        }

        return ColourWanted.Of(rgb);
    }

    private static bool TryColour(SourceNode value, out ColourWanted colour)
    {
        colour = default;
        if (value is { Kind: SourceKind.List, Items: [{ Kind: SourceKind.Number } x, { Kind: SourceKind.Number } y] })
        {
            colour = ColourWanted.At((float)x.Number, (float)y.Number);
            return true;
        }

        return value.Kind == SourceKind.Text && ColourWanted.TryParse(value.Text, out colour);
    }

    private static bool IsSlot(FixtureMode mode, string attribute) => mode.Channels.SelectMany(c => c.Functions)
        .Any(f => f.Attribute.Equals(attribute, StringComparison.OrdinalIgnoreCase) && (f.Wheel >= 0 || f.Sets.Count > 0)
            && AttributeNames.Read(f.Attribute, out _) is AttributeOp.GoboWheel or AttributeOp.ColourWheel or AttributeOp.Prism or AttributeOp.AnimationWheel);

    private static bool TryNumber(SourceNode value, out float number, out string why)
    {
        why = "";
        if (value.Kind == SourceKind.Number)
        {
            number = (float)value.Number;
            return float.IsFinite(number);
        }

        number = 0;
        var text = value.Kind == SourceKind.Text ? value.Text.Trim() : "";
        var end = text.Length;
        while (end > 0 && (char.IsLetter(text[end - 1]) || text[end - 1] is '%' or '°' or '/' or ' '))
        {
            end--;
        }

        if (end == 0 || !float.TryParse(text.AsSpan(0, end), NumberStyles.Float, CultureInfo.InvariantCulture, out number) || !float.IsFinite(number))
        {
            why = $"\"{text}\" is not a number with a unit, such as 30deg, 12Hz, 3200K, 2m or 80%";
            return false;
        }

        number *= text[end..].Trim() == "%" ? .01f : 1;
        return true;
    }
}
