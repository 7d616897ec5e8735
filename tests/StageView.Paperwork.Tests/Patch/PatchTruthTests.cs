using System.Diagnostics;
using System.Globalization;
using System.Text;
using StageView.Paperwork.Patch;
using StageView.Rig.Checks;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Patch;

public sealed class PatchTruthTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Gaps_nodes_splits_capacity_and_numbers_are_found()
    {
        var rig = _temp.Load("""
            { "network": { "nodes": [ { "name": "roof", "universes": [1, 7], "positions": ["truss"] } ], "console": { "attributes": 20, "universes": 1 } },
              "hangs": [
              { "name": "a", "profile": "spot-head", "number": 5, "position": "truss", "patch": "1.1" },
              { "name": "b", "profile": "front-profile", "number": 5, "position": "floor", "patch": "1.31" },
              { "name": "c", "profile": "front-profile", "number": 6, "position": "truss", "patch": "2.1" },
              { "name": "d", "profile": "front-profile", "number": 7, "position": "truss" } ] }
            """);
        var report = PatchInspector.Inspect(rig);

        // The spot head has 22 addresses: 1.23 to 1.30 is a gap of 8; the front profile ends at 1.34.
        Assert.Contains(report.Findings, f => f is { Kind: "gap", Place: "1.23" } && f.Text.StartsWith("8 free", StringComparison.Ordinal));
        Assert.Contains(report.Findings, f => f is { Kind: "unfed", Place: "2" });
        Assert.Contains(report.Findings, f => f is { Kind: "split", Place: "1" } && f.Text.Contains("floor", StringComparison.Ordinal));
        Assert.Contains(report.Findings, f => f is { Kind: "free", Place: "roof" } && f.Text.Contains("universe 7", StringComparison.Ordinal));
        Assert.Contains(report.Findings, f => f is { Kind: "number", Place: "5" });
        Assert.Contains(report.Findings, f => f is { Kind: "unpatched", Place: "d" });
        Assert.Equal(2, report.Findings.Count(f => f.Kind == "capacity"));

        // Pan, tilt, dimmer, shutter, zoom, focus, C, M, Y, CTO, colour, gobo, gobo turn, prism, prism turn, frost, iris = 17; three each for b and c.
        Assert.Equal(17 + 3 + 3, report.Attributes);
        Assert.Equal([new FreeRun(23, 30), new FreeRun(35, 512)], report.Universes[0].Free);

        // Full has 22 addresses, Short 8.
        Assert.Contains(report.Savings, s => s is { Profile: "Spot head", OtherMode: "Short", AddressesSaved: 22 - 8 } && s.Loses.Contains("Iris"));
    }

    [Fact]
    public void Pixels_that_share_addresses_with_channels_count_once()
    {
        var rig = _temp.Load("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"cell-batten\" }, { \"name\": \"f\", \"profile\": \"wall-facet\" } ] }");
        Assert.Equal(3 + 48, PatchInspector.AttributeCount(rig.Fixtures[0].Mode));
        Assert.Equal(510, PatchInspector.AttributeCount(rig.Fixtures[1].Mode));
    }

    [Fact]
    public void Fixtures_that_share_a_patch_stand_once_in_their_universe()
    {
        var rig = _temp.Load("""
            { "hangs": [
              { "name": "left", "profile": "front-profile", "patch": "1.5" },
              { "name": "right", "profile": "front-profile", "sharesPatchOf": "left" },
              { "name": "far", "profile": "front-profile", "patch": "1.9" } ] }
            """);
        Assert.Equal(["left", "far"], PatchInspector.Inspect(rig).Universes.Single().Stretches.Select(s => s.Fixture));
    }

    [Fact]
    public void A_suggestion_has_no_gaps_and_keeps_groups_apart()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        var moves = PatchSuggester.Suggest(rig, ["globes", "wall"]);
        Assert.Equal(rig.Fixtures.Count, moves.Count);
        var globes = rig.Fixtures.Where(f => f.Groups.Contains("globes")).Select(f => f.Name).ToHashSet();
        Assert.All(moves, m => Assert.Equal(globes.Contains(m.Fixture), m.Proposed.Universe.Value == 1));
        Assert.All(moves.Where(m => m.Fixture.StartsWith("facet", StringComparison.Ordinal)), m => Assert.Equal(1, m.Proposed.Address));

        // Nothing overlaps when it is followed.
        var taken = new HashSet<int>();
        foreach (var m in moves)
        {
            var f = rig.Fixtures.First(x => x.Name == m.Fixture);
            foreach (var (from, count) in PatchFootprint.Occupied(f.Mode, m.Break, m.Proposed.Absolute))
            {
                Assert.All(Enumerable.Range(from, count), a => Assert.True(taken.Add(a), m.Fixture));
            }
        }
    }

    /// <summary>The figure itself is printed; the test only proves that such a rig is checked.</summary>
    [Fact]
    public void A_rig_of_2000_fixtures_in_200_universes_is_checked()
    {
        var text = new StringBuilder("{ \"hangs\": [\n");
        for (var u = 1; u <= 200; u++)
        {
            text.Append(CultureInfo.InvariantCulture,
                $"{{ \"name\": \"bar {u}\", \"profile\": \"spot-head\", \"number\": {u * 10}, \"row\": {{ \"from\": [0, {u}, 8], \"to\": [9, {u}, 8], "
                + $"\"count\": 10 }}, \"patch\": \"{u}.1\" }},\n");
        }

        var path = _temp.Write("big.rig.jsonc", text.Append("] }").ToString());
        RigChecker.Check(path, TempRig.WithAssets, out _);
        var clock = Stopwatch.StartNew();
        var problems = RigChecker.Check(path, TempRig.WithAssets, out var summary);
        TestContext.Current.TestOutputHelper?.WriteLine($"checked in {clock.ElapsedMilliseconds} ms");
        Assert.Empty(problems);
        Assert.Equal(2000, summary!.Fixtures);
        Assert.Equal(200, summary.Universes.Count);
    }
}
