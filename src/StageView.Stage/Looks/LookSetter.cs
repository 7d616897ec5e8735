using System.Globalization;
using System.Numerics;
using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Programs;

namespace StageView.Stage.Looks;

/// <summary>
/// Sets fixtures from a look's entries, in physical units: <c>{ "fixtures": "spots", "dimmer": 0.8, "zoom": "12deg",
/// "colour": "#ff8800", "aim": [0, 2, 1.6] }</c>. Keys are plain words or DIN SPEC 15800 attribute names.
/// </summary>
public sealed partial class LookSetter
{
    private static readonly Dictionary<string, string> Words = new(StringComparer.OrdinalIgnoreCase)
    {
        ["dimmer"] = "Dimmer", ["pan"] = "Pan", ["tilt"] = "Tilt", ["zoom"] = "Zoom", ["iris"] = "Iris", ["frost"] = "Frost1", ["focus"] = "Focus",
        ["strobe"] = "Shutter1Strobe", ["gobo"] = "Gobo1", ["goboAngle"] = "Gobo1Pos", ["goboTurn"] = "Gobo1PosRotate", ["prism"] = "Prism1",
        ["prismTurn"] = "Prism1PosRotate", ["wheel"] = "Color1", ["height"] = "XYZ_Z", ["shutter"] = "Shutter1",
    };

    private readonly LevelsEncoder _levels;
    private readonly IReadOnlyDictionary<string, Vector3> _points;

    /// <param name="levels">Where the levels go.</param>
    /// <param name="points">Named points that <c>aim</c> may use, m.</param>
    public LookSetter(LevelsEncoder levels, IReadOnlyDictionary<string, Vector3>? points = null)
    {
        _levels = levels;
        _points = points ?? new Dictionary<string, Vector3>();
    }

    /// <summary>Fixtures set by the entries so far, each key of each entry counted by itself; a look that set none has no line that can be used.</summary>
    public int Sets { get; private set; }

    /// <summary>Applies one entry; what can't be done is added to <paramref name="problems"/> and the rest still happens.</summary>
    public void Apply(JsonElement entry, string path, List<LookProblem> problems)
    {
        if (entry.ValueKind != JsonValueKind.Object || !entry.TryGetProperty("fixtures", out var who) || who.ValueKind != JsonValueKind.String)
        {
            problems.Add(new(path, "needs \"fixtures\": a name, number, group or several with commas"));
            return;
        }

        if (!FixtureSelection.TryFind(_levels.Rig, who.GetString()!, out var fixtures, out var why))
        {
            problems.Add(new(path + ".fixtures", why));
            return;
        }

        Open(entry, fixtures);
        foreach (var property in entry.EnumerateObject())
        {
            if (property.Name is "fixtures" or "note" or "fade" or "delay")
            {
                continue;
            }

            for (var i = 0; i < fixtures.Count; i++)
            {
                if (!TrySet(fixtures[i], i, fixtures.Count, property, out why))
                {
                    problems.Add(new(path + "." + property.Name, why));
                    break;
                }

                Sets++;
            }
        }
    }

    /// <summary>An entry that sets a dimmer and says nothing of the shutter opens it.</summary>
    private void Open(JsonElement entry, IReadOnlyList<Fixture> fixtures)
    {
        var names = entry.EnumerateObject().Select(p => Words.GetValueOrDefault(p.Name, p.Name)).ToArray();
        if (!names.Contains("Dimmer") || names.Any(n => n.StartsWith("Shutter", StringComparison.Ordinal)))
        {
            return;
        }

        foreach (var fixture in fixtures.Where(f => LevelsEncoder.AttributesOf(f).Contains("Shutter1")))
        {
            _levels.TrySet(fixture, "Shutter1", 1, out _);
        }
    }

    private bool TrySet(Fixture fixture, int index, int count, JsonProperty property, out string why)
    {
        var value = property.Value;
        switch (property.Name.ToLowerInvariant())
        {
            case "colour":
                return TryColour(fixture, value, out why);
            case "aim":
                return TryAim(fixture, index, count, value, out why);
            case "bounce":
                return TryTurnMirror(fixture, value, out why);
            default:
                break;
        }

        var attribute = Words.GetValueOrDefault(property.Name, property.Name);
        if (IsSlot(fixture, attribute) && value.ValueKind is JsonValueKind.String or JsonValueKind.Number)
        {
            return _levels.TrySetSlot(fixture, attribute, value.ToString(), out why);
        }

        // [from, to] fans over the selection.
        float physical;
        if (value.ValueKind == JsonValueKind.Array && value.GetArrayLength() == 2)
        {
            if (!TryNumber(value[0], out var a, out why) || !TryNumber(value[1], out var b, out why))
            {
                physical = 0;
                return false;
            }

            physical = count < 2 ? a : a + ((b - a) * index / (count - 1));
        }
        else if (!TryNumber(value, out physical, out why))
        {
            return false;
        }

        return _levels.TrySet(fixture, attribute, physical, out why);
    }

    private static bool IsSlot(Fixture fixture, string attribute) => fixture.Mode.Channels.SelectMany(c => c.Functions)
        .Any(f => f.Attribute.Equals(attribute, StringComparison.OrdinalIgnoreCase) && (f.Wheel >= 0 || f.Sets.Count > 0)
            && AttributeNames.Read(f.Attribute, out _) is AttributeOp.GoboWheel or AttributeOp.ColourWheel or AttributeOp.Prism or AttributeOp.AnimationWheel);

    private static bool TryNumber(JsonElement value, out float number, out string why)
    {
        why = "";
        if (value.ValueKind == JsonValueKind.Number)
        {
            number = value.GetSingle();
            return true;
        }

        number = 0;
        var text = value.ValueKind == JsonValueKind.String ? value.GetString()!.Trim() : "";
        var end = text.Length;
        while (end > 0 && (char.IsLetter(text[end - 1]) || text[end - 1] is '%' or '°' or '/' or ' '))
        {
            end--;
        }

        if (end == 0 || !float.TryParse(text.AsSpan(0, end), NumberStyles.Float, CultureInfo.InvariantCulture, out number) || !float.IsFinite(number))
        {
            why = $"{value.GetRawText()} is not a number with a unit, such as 30deg, 12Hz, 3200K, 2m or 80%";
            return false;
        }

        number *= text[end..].Trim() == "%" ? .01f : 1;
        return true;
    }

    private bool TryColour(Fixture fixture, JsonElement value, out string why)
    {
        ColourWanted colour;
        if (value.ValueKind == JsonValueKind.Array && value.GetArrayLength() == 2 && value.EnumerateArray().All(v => v.ValueKind == JsonValueKind.Number))
        {
            colour = ColourWanted.At(value[0].GetSingle(), value[1].GetSingle());
        }
        else if (value.ValueKind != JsonValueKind.String || !ColourWanted.TryParse(value.GetString()!, out colour))
        {
            why = $"{value.GetRawText()} is not a colour: \"#rrggbb\", a temperature from 1667K to 25000K, or CIE [x, y]";
            return false;
        }

        return _levels.TrySetColour(fixture, colour, out why);
    }
}
