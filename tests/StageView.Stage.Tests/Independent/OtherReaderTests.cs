using System.Numerics;
using System.Text;
using System.Text.Json;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Stage.Tests.Independent;

/// <summary>
/// Levels on fixtures of GDTF archives made by chance: the physical value of every channel, and where every geometry stands, as
/// <c>tests/independent/read_fixtures.py</c> has it, written from DIN SPEC 15800 with nothing of ours.
/// </summary>
public sealed class OtherReaderTests : IDisposable
{
    /// <summary>Long after the levels, so that everything has arrived.</summary>
    private static readonly TimeSpan s_later = TimeSpan.FromHours(1);

    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Theory]
    [InlineData(11)]
    [InlineData(12)]
    public void Levels_turn_and_set_what_the_other_reader_says(int seed)
    {
        FixtureArchives.Make(_temp.Path, seed, 16);
        var said = FixtureArchives.Read(Directory.EnumerateFiles(_temp.Path, "*.gdtf").Order(StringComparer.Ordinal));
        var (values, places) = (0, 0);
        foreach (var file in said.EnumerateObject())
        {
            foreach (var mode in file.Value.GetProperty("modes").EnumerateArray())
            {
                var rig = Hung(Path.GetFileName(file.Name), mode);
                for (var round = 0; round < FixtureArchives.Rounds; round++)
                {
                    var stage = new StageModel(rig);
                    foreach (var start in rig.Fixtures[0].Patch)
                    {
                        var levels = Enumerable.Range(1, 512).Select(o => FixtureArchives.Level(start.Break, o, round)).ToArray();
                        stage.OnLevels(start.Start.Universe, TimeSpan.Zero, levels);
                    }

                    var where = $"{Path.GetFileName(file.Name)}, mode {rig.Fixtures[0].Mode.Name}, round {round}";
                    values += Values(stage, mode, round, where);
                    places += Places(stage, mode, round, where);
                }
            }
        }

        Assert.True(values > 500 && places > 500, $"{values} values, {places} places");
    }

    /// <summary>The fixture at the origin, each break in a universe of its own, and a piece of scenery on each of its geometries.</summary>
    private RigScene Hung(string file, JsonElement mode)
    {
        var name = JsonSerializer.Serialize(mode.GetProperty("name").GetString());
        var patch = string.Join(", ", Enumerable.Range(1, mode.GetProperty("footprints").GetArrayLength()).Select(b => $"\"{b}.1\""));
        var json = new StringBuilder(
            $"{{ \"profiles\": [\".\"], \"hangs\": [{{ \"name\": \"f\", \"profile\": \"{file}\", \"mode\": {name}, \"patch\": [{patch}] }}],\n");
        json.Append("\"scenery\": [\n");
        foreach (var g in mode.GetProperty("geometry").EnumerateArray())
        {
            json.Append("{ \"name\": \"p\", \"shape\": \"box\", \"size\": [1, 1, 1], \"carriedBy\": { \"fixture\": \"f\", \"part\": ")
                .Append(JsonSerializer.Serialize(g.GetProperty("name").GetString())).Append(" } },\n");
        }

        var path = _temp.File("a.rig.jsonc", json.Append("] }").ToString());
        Assert.True(RigLoader.TryLoad(path, out var rig, out var problems), string.Join('\n', problems.Take(5)));
        return rig;
    }

    private static int Values(StageModel stage, JsonElement mode, int round, string where)
    {
        var state = stage.StateOf(new FixtureIndex(0), s_later);
        var channels = stage.Rig.Fixtures[0].Mode.Channels;
        var compared = 0;
        foreach (var (said, i) in mode.GetProperty("channels").EnumerateArray().Select((c, i) => (c, i)))
        {
            // What has no address may count as open, and what follows another is multiplied by it or gives way to it.
            if (channels[i].Offsets.Count == 0 || stage.Rig.Fixtures[0].Mode.Relations.Any(r => r.FollowerChannel == i))
            {
                continue;
            }

            var theirs = said.GetProperty("physical")[round];
            var ours = state.Attributes[i];
            if (theirs.ValueKind == JsonValueKind.Null)
            {
                Assert.True(ours.Function.Length == 0, $"{where}, {ours.Channel} at {ours.Raw}: no function is active, read as {ours.Function}");
                continue;
            }

            compared++;
            var off = Math.Abs(theirs.GetSingle() - ours.Target);
            Assert.True(off <= 1e-4f * Math.Max(1, Math.Abs(ours.Target)),
                $"{where}, {ours.Channel} at {ours.Raw}: {theirs}, read as {ours.Target} ({ours.Function})");
        }

        return compared;
    }

    private static int Places(StageModel stage, JsonElement mode, int round, string where)
    {
        var pieces = stage.MomentAt(s_later).Scenery.ToArray().Where(p => p.Fixture == FixtureIndex.None).ToArray();
        var geometry = mode.GetProperty("geometry").EnumerateArray().ToArray();
        Assert.Equal(geometry.Length, pieces.Length);
        foreach (var (said, piece) in geometry.Zip(pieces))
        {
            var m = said.GetProperty("moved")[round].EnumerateArray().Select(n => n.GetSingle()).ToArray();
            foreach (var p in (Vector3[])[Vector3.Zero, Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ])
            {
                var theirs = new Vector3(
                    (m[0] * p.X) + (m[1] * p.Y) + (m[2] * p.Z) + m[3],
                    (m[4] * p.X) + (m[5] * p.Y) + (m[6] * p.Z) + m[7],
                    (m[8] * p.X) + (m[9] * p.Y) + (m[10] * p.Z) + m[11]);
                var ours = piece.Pose.TransformPoint(p);
                Assert.True(Vector3.Distance(theirs, ours) < 1e-4f, $"{where}, {said.GetProperty("name")}: {p} is at {theirs}, and here at {ours}");
            }
        }

        return geometry.Length;
    }
}
