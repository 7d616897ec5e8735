using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Snap;
using StageView.Show.Sources;
using StageView.Snapshot.Sets;
using StageView.Stage.Levels;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Questions;

/// <summary>Questions answered as data, without the command.</summary>
public sealed class AskingTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Heads(string patch) => RigFiles.Open(_folder.File("heads.rig.jsonc", $$"""
        {
          "name": "heads", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "bounces": 1,
          "hangs": [
            { "name": "a", "profile": "spot-head", "number": 1, "at": [-2, 0, 6], "patch": "1.1" },
            { "name": "b", "profile": "spot-head", "number": 2, "at": [0, 0, 6], "patch": "1.101" },
            { "name": "c", "profile": "spot-head", "number": 3, "at": [2, 0, 6], {{patch}} }
          ],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        }
        """));

    [Fact]
    public void A_line_is_shared_evenly_by_the_fixtures_aimed_along_it()
    {
        var rig = Heads("\"patch\": \"1.201\"");
        AimAnswer Ask(IReadOnlyList<Fixture> fixtures, IReadOnlyList<Vector3> at, Vector3? to) =>
            AimQuestion.Answer(rig, new LevelsEncoder(rig), new AimAsked(fixtures, at, to, []));
        var (from, end) = (new Vector3(-4, 3, 0), new Vector3(4, 5, 2));
        Assert.Equal([from, new Vector3(0, 4, 1), end], Ask(rig.Fixtures, [from], end).Results.Select(r => r.Target));
        Assert.Equal([new Vector3(0, 4, 1)], Ask([rig.Fixtures[1]], [from], end).Results.Select(r => r.Target));
        Assert.Equal([from, end, from], Ask(rig.Fixtures, [from, end], null).Results.Select(r => r.Target));
        Assert.True(Ask(rig.Fixtures, [from], end).All);
    }

    [Fact]
    public void An_address_belongs_to_every_fixture_whose_footprint_holds_it()
    {
        var rig = Heads("\"sharesPatchOf\": \"b\"");
        IEnumerable<string> At(int address) => new PatchLookup(rig).At(new UniverseAddress(new UniverseNumber(1), address)).Select(f => f.Name);
        var length = rig.Fixtures[0].Mode.Footprints[0];
        Assert.Equal(["a"], At(1));
        Assert.Equal(["a"], At(length));
        Assert.Empty(At(length + 1));
        Assert.Equal(["b", "c"], At(101));
    }

    [Fact]
    public void A_look_that_can_be_used_in_part_is_opened_and_says_what_was_left_out()
    {
        var rig = Heads("\"patch\": \"1.201\"");
        var half = _folder.File("half.look.jsonc", """{ "set": [{ "fixtures": "nobody", "dimmer": 1 }, { "fixtures": "2", "dimmer": 1 }] }""");
        Assert.True(LookShow.TryOpen(rig, half, out var show, out var why));
        Assert.StartsWith("half.look.jsonc:1: $.set[0].fixtures", why, StringComparison.Ordinal);
        Assert.Equal(1, LevelsQuestion.Answer(show, [rig.Fixtures[1]])[0].State.Attributes.First(a => a.Attribute == "Dimmer").Target, 2);
        Assert.False(LookShow.TryOpen(rig, _folder.File("none.look.jsonc", """{ "set": [{ "fixtures": "nobody", "dimmer": 1 }] }"""), out _, out why));
        Assert.StartsWith("no line of it can be used: none.look.jsonc", why, StringComparison.Ordinal);
        Assert.False(LookShow.TryOpen(rig, half + ".gone", out _, out _));
    }

    [Fact]
    public void A_rig_that_is_opened_later_starts_from_the_newest_levels_that_the_network_sent()
    {
        var told = 0;
        var desk = new LevelsDesk(TimeProvider.System, () => told++);
        var rig = Heads("\"patch\": \"1.201\"");
        using var first = new NetworkShow(rig, desk);
        var levels = new byte[512];
        var dimmer = first.Stage.StateOf(new FixtureIndex(0), TimeSpan.Zero).Attributes.First(a => a.Attribute == "Dimmer").Addresses[0];
        levels[dimmer.Address - 1] = 255;
        desk.OnLevels(new UniverseNumber(1), TimeSpan.FromSeconds(5), levels);
        using var second = new NetworkShow(Heads("\"patch\": \"1.301\""), desk);
        Assert.Equal(1, told);
        Assert.Equal(TimeSpan.FromSeconds(5), second.End());
        var state = LevelsQuestion.Answer(second, [second.Stage.Rig.Fixtures[0]])[0].State.Attributes.First(a => a.Attribute == "Dimmer");
        Assert.Equal(255, LevelsQuestion.Bytes(state)[0]);
        Assert.False(state.IsDefault);
    }

    [Fact]
    public void No_frame_at_all_is_no_pass()
    {
        var empty = Directory.CreateDirectory(Path.Combine(_folder.Path, "empty")).FullName;
        var set = Snapshot.Frames.FrameSet.Open(empty);
        var answer = new CompareRun(null, "", addedIsFine: false).Compare(new SetRequest { Base = set, New = set }, null,
            TestContext.Current.CancellationToken);
        Assert.Equal(CompareVerdict.Nothing, answer.Verdict);
    }
}
