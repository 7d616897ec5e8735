using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace StageView.Rig.Keys;

/// <summary>Writes a table of keys as JSON Schema (draft 2020-12), every key with its description.</summary>
internal static class SchemaWriter
{
    private static readonly JsonSerializerOptions Written = new()
    {
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        NewLine = "\n",
    };

    public static string Write(ObjectValue root, string title)
    {
        var defs = new SortedDictionary<string, JsonObject>(StringComparer.Ordinal);
        var schema = new JsonObject
        {
            ["$schema"] = "https://json-schema.org/draft/2020-12/schema",
            ["title"] = title,
            ["description"] = root.Tells,
        };
        foreach (var (k, v) in Body(root, defs))
        {
            schema[k] = v?.DeepClone();
        }

        var held = new JsonObject();
        foreach (var (k, v) in defs)
        {
            held[k] = v;
        }

        schema["$defs"] = held;
        return schema.ToJsonString(Written) + "\n";
    }

    private static JsonObject Body(ObjectValue wanted, SortedDictionary<string, JsonObject> defs)
    {
        var properties = new JsonObject();
        var required = new JsonArray();
        foreach (var key in wanted.Keys)
        {
            var value = Of(key.Value, defs);
            value["description"] = key.Tells;
            properties[key.Name] = value;
            if (key.Required)
            {
                required.Add(key.Name);
            }
        }

        var body = new JsonObject { ["type"] = "object", ["properties"] = properties };
        body["additionalProperties"] = wanted.Others is { } others ? Of(others, defs) : false;
        if (required.Count > 0)
        {
            body["required"] = required;
        }

        return body;
    }

    private static JsonObject Of(KeyValue wanted, SortedDictionary<string, JsonObject> defs)
    {
        switch (wanted)
        {
            case NumberValue n:
                var number = new JsonObject { ["type"] = "number" };
                Bounds(number, n.Least, n.Most);
                return number;
            case IntegerValue i:
                var integer = new JsonObject { ["type"] = "integer" };
                Bounds(
                    integer,
                    i.Least == int.MinValue ? double.NegativeInfinity : i.Least,
                    i.Most == int.MaxValue ? double.PositiveInfinity : i.Most);
                return integer;
            case TextValue t:
                var text = new JsonObject { ["type"] = "string" };
                if (t.Pattern is not null)
                {
                    text["pattern"] = t.Pattern;
                }

                return text;
            case FlagValue:
                return new JsonObject { ["type"] = "boolean" };
            case ChoiceValue c:
                return new JsonObject { ["enum"] = new JsonArray([.. c.Words.Select(w => (JsonNode)w)]) };
            case ListValue l:
                var list = new JsonObject { ["type"] = "array", ["items"] = Of(l.Item, defs) };
                if (l.Least > 0)
                {
                    list["minItems"] = l.Least;
                }

                if (l.Most < int.MaxValue)
                {
                    list["maxItems"] = l.Most;
                }

                return list;
            case MapValue m:
                return new JsonObject
                {
                    ["type"] = "object",
                    ["propertyNames"] = new JsonObject { ["pattern"] = m.KeyPattern },
                    ["additionalProperties"] = Of(m.Item, defs),
                };
            case EitherValue e:
                return new JsonObject { ["anyOf"] = new JsonArray([.. e.Values.Select(s => (JsonNode)Of(s, defs))]) };
            case ObjectValue o:
                var name = DefName(o);
                if (!defs.ContainsKey(name))
                {
                    defs[name] = [];
                    var body = Body(o, defs);
                    body["description"] = o.Tells;
                    defs[name] = body;
                }

                return new JsonObject { ["$ref"] = "#/$defs/" + name };
            default:
                throw new InvalidOperationException(wanted.GetType().Name);
        }
    }

    private static void Bounds(JsonObject to, double least, double most)
    {
        if (!double.IsInfinity(least))
        {
            to["minimum"] = least;
        }

        if (!double.IsInfinity(most))
        {
            to["maximum"] = most;
        }
    }

    private static string DefName(ObjectValue o)
    {
        var b = new StringBuilder();
        foreach (var word in o.Name.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (word is not ("a" or "an" or "the"))
            {
                b.Append(b.Length == 0 ? word : char.ToUpperInvariant(word[0]) + word[1..]);
            }
        }

        return b.ToString();
    }
}
