using System.Text.Json;
using System.Text.Json.Nodes;
using StageView.Rig.Scene;
using StageView.Show.Rigs;
using StageView.Show.Snap;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;

namespace StageView.Show.Tests.Snap;

/// <summary>What a rig says is told apart in words, whatever key it is said by.</summary>
public sealed class RigFactsTests
{
    private static readonly JsonDocumentOptions s_lenient = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };

    // Keys that do nothing to light: paperwork, patch checks, measuring, cautions, other files' tolerances; and those whose change is another rig file's.
    private static readonly HashSet<string> s_noLight =
    [
        "nodes", "console", "areas", "volumes", "limits", "presets", "focusPoints", "connections", "sightLines", "compare", "weight", "phase", "numberStep",
            "number", "power",
        "photometryTolerance", "highlight", "listen", "seats",
    ];

    /// <summary>
    /// Every number and every yes or no of the demo's rig and profiles, changed once: the facts differ, unless the key is one that does nothing to light.
    /// </summary>
    [Fact]
    public void Every_key_that_can_change_light_is_a_fact()
    {
        using var copy = new RigCopy("foundry");
        var profiles = Path.GetFullPath(Path.Combine(copy.Folder, "../../assets/fixtures"));
        var before = Facts(copy.File);
        var (tried, silent) = (0, new List<string>());
        foreach (var file in Directory.GetFiles(profiles, "*.fixture.jsonc").Order(StringComparer.Ordinal).Prepend(copy.File))
        {
            var text = File.ReadAllText(file);
            var root = JsonNode.Parse(text, documentOptions: s_lenient)!;
            foreach (var key in Leaves(root, "").Where(l => !l.Path.Split('.').Any(s_noLight.Contains)).GroupBy(l => l.Path).ToList())
            {
                // One of them may do nothing where it stands: an aim that moves along its own line.
                bool? told = null;
                foreach (var (_, node) in key.Take(3).Where(_ => told != true))
                {
                    told = IsTold(node) ?? told;
                }

                tried += told is null ? 0 : 1;
                if (told == false)
                {
                    silent.Add($"{Path.GetFileName(file)}: {key.Key}");
                }
            }

            File.WriteAllText(file, text);

            bool? IsTold(JsonNode node)
            {
                if (!TryChange(node, out var changed))
                {
                    return null;
                }

                var parent = node.Parent!;
                Put(parent, node, changed);
                File.WriteAllText(file, root.ToJsonString());
                bool? told = RigLoader.TryLoad(copy.File, out var rig, out _) ? !before.SequenceEqual(Said(RigFacts.Of(rig))) : null;
                Put(parent, changed, node);
                return told;
            }
        }

        Assert.Empty(silent);
        Assert.InRange(tried, 60, 2000);
    }

    [Theory]
    [InlineData("\"profile\": \"front-profile\",",
        "\"profile\": \"front-profile\", \"filter\": [1, 0.5, 0.1],", @"^fixtures on house truss: gel none → orange, 100 %")]
    [InlineData("\"patchSize\": 2.6", "\"patchSize\": 3", "^haze: size of the patches 2.6 m → 3 m$")]
    [InlineData("\"drift\": [0.15,", "\"drift\": [0.25,", "^haze: drift to the audience's right 0.15 m/s → 0.25 m/s$")]
    [InlineData("\"rotate\": [20, 0, 0], \"size\": [9, 1.9]", "\"rotate\": [20.5, 0, 0], \"size\": [9, 1.9]", @"^mirror high sheet: turned by 0.5°$")]
    [InlineData("\"sheet\": 0.006", "\"sheet\": 0.008", "^mirror high sheet: sheet before the metal 6 mm → 8 mm$")]
    public void A_change_of_the_rig_is_told_in_a_designers_words(string old, string now, string said)
    {
        using var copy = new RigCopy("foundry");
        var before = RigFacts.Of(RigFiles.Open(copy.File, null));
        var text = File.ReadAllText(copy.File);
        Assert.Contains(old, text, StringComparison.Ordinal);
        File.WriteAllText(copy.File, text.Replace(old, now, StringComparison.Ordinal));
        var causes = FactsDiff.Of(new SetFacts { Rig = before }, new SetFacts { Rig = RigFacts.Of(RigFiles.Open(copy.File, null)) });
        Assert.Contains(causes, c => System.Text.RegularExpressions.Regex.IsMatch(c.Text, said));
        Assert.True(causes.Count == 1, string.Join('\n', causes.Select(c => c.Text)));
    }

    [Fact]
    public void Nothing_is_left_out_of_the_walk_by_a_name_that_is_gone() => Assert.All(RigLeaves.LeftOut, type =>
        Assert.All(type.Value, name => Assert.NotNull(type.Key.GetProperty(name))));

    private static List<string> Facts(string rig) => Said(RigFacts.Of(RigFiles.Open(rig, null)));

    private static List<string> Said(IEnumerable<RigFact> facts) =>
        [.. facts.Select(f => $"{f.Kind} {f.Subject} {f.Property} {f.Value} {f.Text}").Order(StringComparer.Ordinal)];

    private static IEnumerable<(string Path, JsonNode Node)> Leaves(JsonNode? node, string path) => node switch
    {
        JsonObject o => o.SelectMany(p => Leaves(p.Value, path.Length == 0 ? p.Key : $"{path}.{p.Key}")),
        JsonArray a => a.SelectMany(e => Leaves(e, path)),
        JsonValue v => [(path, v)],
        _ => [],
    };

    private static bool TryChange(JsonNode node, out JsonNode changed)
    {
        changed = node;
        switch (node.GetValueKind())
        {
            case JsonValueKind.Number when node.GetValue<JsonElement>().TryGetInt32(out var n):
                changed = JsonValue.Create(n + 1);
                return true;
            case JsonValueKind.Number:
                changed = JsonValue.Create(node.GetValue<double>() * 0.9);
                return true;
            case JsonValueKind.True or JsonValueKind.False:
                changed = JsonValue.Create(node.GetValueKind() == JsonValueKind.False);
                return true;
            default:
                return false;
        }
    }

    private static void Put(JsonNode parent, JsonNode old, JsonNode now)
    {
        if (parent is JsonObject o)
        {
            o[o.First(p => ReferenceEquals(p.Value, old)).Key] = now;
        }
        else
        {
            var a = (JsonArray)parent;
            a[a.IndexOf(old)] = now;
        }
    }
}
