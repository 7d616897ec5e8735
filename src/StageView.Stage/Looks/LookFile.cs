using System.Numerics;
using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;

namespace StageView.Stage.Looks;

/// <summary>
/// A look: what a console would have set, written by hand. JSON with comments: <c>points</c>, then <c>set</c>, a list of entries applied in order.
/// </summary>
public static class LookFile
{
    /// <summary>How look and cue files are read.</summary>
    public static JsonDocumentOptions Options { get; } = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true, MaxDepth = 32 };

    /// <summary>Levels of a look on top of the rig's defaults.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="json">The file's text.</param>
    /// <param name="problems">One line each: where and why. Entries without a problem are applied.</param>
    public static LevelsEncoder Read(RigScene rig, string json, List<LookProblem> problems) => Read(rig, json, problems, out _);

    /// <summary>The same, and how often something was set: 0 where no line of it can be used.</summary>
    public static LevelsEncoder Read(RigScene rig, string json, List<LookProblem> problems, out int sets)
    {
        sets = 0;
        var levels = new LevelsEncoder(rig);
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(json, Options);
        }
        catch (JsonException e)
        {
            problems.Add(new($"line {e.LineNumber + 1}",
                "not JSON: " + e.Message.Split(" LineNumber", 2)[0]
                + (e.Message.Contains("Expected either ','", StringComparison.Ordinal) ? "; a comma may be missing before it" : "")));
            return levels;
        }

        using (document)
        {
            var root = document.RootElement;
            if (root.ValueKind != JsonValueKind.Object || !root.TryGetProperty("set", out var set) || set.ValueKind != JsonValueKind.Array)
            {
                problems.Add(new("$", "a look needs \"set\": [ { \"fixtures\": …, \"dimmer\": … }, … ]"));
                return levels;
            }

            var setter = new LookSetter(levels, Points(root, problems));
            var i = 0;
            foreach (var entry in set.EnumerateArray())
            {
                setter.Apply(entry, $"$.set[{i++}]", problems);
            }

            sets = setter.Sets;
        }

        return levels;
    }

    /// <summary>Named points of a look or cue file, m.</summary>
    public static IReadOnlyDictionary<string, Vector3> Points(JsonElement root, List<LookProblem> problems)
    {
        var points = new Dictionary<string, Vector3>(StringComparer.Ordinal);
        if (!root.TryGetProperty("points", out var list) || list.ValueKind != JsonValueKind.Object)
        {
            return points;
        }

        foreach (var p in list.EnumerateObject())
        {
            if (p.Value.ValueKind == JsonValueKind.Array && p.Value.GetArrayLength() == 3
                && p.Value.EnumerateArray().All(v => v.ValueKind == JsonValueKind.Number))
            {
                points[p.Name] = new Vector3(p.Value[0].GetSingle(), p.Value[1].GetSingle(), p.Value[2].GetSingle());
            }
            else
            {
                problems.Add(new("$.points." + p.Name, "is not [x, y, z] in metres"));
            }
        }

        return points;
    }
}
