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

    // Words that do nothing to light: names are told as the names of what they are said of, others are for people.
    private static readonly HashSet<string> s_noLightWords =
        ["$schema", "notes", "why", "groups", "position", "positions", "title", "include", "profiles", "patch", "start", "group", "name", "mirroredName"];

    /// <summary>
    /// A text of each key of the demo's rig, its room and its profiles, replaced by another that the key knows: the facts differ, unless the rig is refused then,
    /// or the key does nothing to light.
    /// </summary>
    [Fact]
    public void Every_text_that_can_change_light_is_a_fact()
    {
        using var copy = new RigCopy("foundry");
        var files = Directory.GetFiles(Path.GetFullPath(Path.Combine(copy.Folder, "../../assets/fixtures")), "*.fixture.jsonc").Order(StringComparer.Ordinal)
            .Prepend(Path.Combine(copy.Folder, "room.rig.jsonc")).Prepend(copy.File).ToList();
        var silent = Walk(files, () => RigLoader.TryLoad(copy.File, out var rig, out _) ? Said(RigFacts.Of(rig)) : null, out var tried);
        Assert.True(silent.Count == 0, string.Join('\n', silent));
        Assert.InRange(tried, 25, 2000);
    }

    /// <summary>The same of a venue: its numbers, and its texts.</summary>
    [Fact]
    public void Every_key_of_a_venue_that_can_change_light_is_a_fact()
    {
        using var copy = new RigCopy("foundry");
        var venue = Path.Combine(copy.Folder, "two-cities-on.venue.jsonc");
        var silent = Walk([venue], Load, out var tried, numbers: true);
        Assert.True(silent.Count == 0, string.Join('\n', silent));
        Assert.InRange(tried, 15, 500);

        List<string>? Load()
        {
            try
            {
                return Said(RigFacts.Of(RigFiles.Open(copy.File, venue)));
            }
            catch (StopException)
            {
                return null;
            }
        }
    }

    /// <summary>Changes a leaf of each key of some files, one at a time; returns those that the facts say nothing of.</summary>
    private static List<string> Walk(IReadOnlyList<string> files, Func<List<string>?> load, out int tried, bool numbers = false)
    {
        var before = load()!;
        var silent = new List<string>();
        tried = 0;
        foreach (var file in files)
        {
            var text = File.ReadAllText(file);
            var root = JsonNode.Parse(text, documentOptions: s_lenient)!;
            var leaves = Leaves(root, "").Where(l => !l.Path.Split('.').Any(k => s_noLight.Contains(k) || s_noLightWords.Contains(k))).ToList();
            foreach (var key in leaves.GroupBy(l => l.Path).ToList())
            {
                var words = leaves.Where(l => l.Path.Split('.')[^1] == key.Key.Split('.')[^1] && l.Node.GetValueKind() == JsonValueKind.String)
                    .Select(l => l.Node.GetValue<string>()).Distinct().ToList();
                bool? told = null;
                foreach (var (_, node) in key.Take(3).Where(_ => told != true))
                {
                    foreach (var changed in Others(node, words, numbers).TakeWhile(_ => told != true))
                    {
                        var parent = node.Parent!;
                        Put(parent, node, changed);
                        File.WriteAllText(file, root.ToJsonString());
                        Put(parent, changed, node);
                        told = load() is { } now ? !before.SequenceEqual(now) : told;
                    }
                }

                tried += told is null ? 0 : 1;
                if (told == false)
                {
                    silent.Add($"{Path.GetFileName(file)}: {key.Key}");
                }
            }

            File.WriteAllText(file, text);
        }

        return silent;
    }

    /// <summary>Other values of a leaf: of a text, up to three that stand elsewhere under the same key.</summary>
    private static IEnumerable<JsonNode> Others(JsonNode node, List<string> words, bool numbers) => node.GetValueKind() == JsonValueKind.String
        ? words.Where(w => w != node.GetValue<string>()).Take(3).Append(node.GetValue<string>() + " too").Select(w => (JsonNode)JsonValue.Create(w)!)
        : numbers && TryChange(node, out var changed) ? [changed] : [];

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
