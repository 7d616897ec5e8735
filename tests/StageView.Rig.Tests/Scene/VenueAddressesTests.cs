using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>The tour's addresses are the console's: a venue leaves them as they are.</summary>
public sealed class VenueAddressesTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour",
          "parts": [
            { "name": "tower", "at": [-5, 2, 0], "mirrored": true,
              "hangs": [ { "name": "side", "profile": "spot-head", "number": 1, "groups": ["heads"] } ] },
            { "name": "truss", "at": [0, 2, 7],
              "hangs": [ { "name": "top", "profile": "spot-head", "row": { "from": [-2, 0, 0], "to": [2, 0, 0], "count": 3 }, "number": 11,
                "groups": ["heads"] } ] } ],
          "hangs": [ { "name": "first", "profile": "front-profile", "at": [0, 0, 7], "patch": "4.1" },
            { "name": "second", "profile": "front-profile", "at": [1, 0, 7], "sharesPatchOf": "first" },
            { "name": "third", "profile": "front-profile", "at": [2, 0, 7], "sharesPatchOf": "first" },
            { "name": "solo", "profile": "pixel-tube", "at": [0, 8, 3], "patch": "3.1" } ],
          "patchRuns": [ { "start": "2.1", "fixtures": ["heads"] } ] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(string? entries)
    {
        var ok = RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour),
            TempRig.WithAssets with { Venue = entries is null ? null : _temp.Write("v.venue.jsonc", "{ \"name\": \"v\", " + entries + " }") },
            out var rig, out var problems);
        Assert.True(ok, string.Join('\n', problems));
        return rig!;
    }

    private static Dictionary<string, string> Addresses(RigScene rig) =>
        rig.Fixtures.ToDictionary(f => f.Name, f => $"{f.Number} {string.Join(' ', f.Patch.Select(p => p.Start))}");

    [Theory]
    [InlineData("\"remove\": [\"tower\"]")]
    [InlineData("\"remove\": [\"side\"]")]
    [InlineData("\"remove\": [\"tower mirrored\"]")]
    [InlineData("\"remove\": [\"first\"]")]
    [InlineData("\"move\": [{ \"what\": \"truss\", \"by\": [0, 1, 0] }]")]
    [InlineData("\"hangs\": [{ \"name\": \"added\", \"profile\": \"spot-head\", \"groups\": [\"heads\"], \"patch\": \"9.1\" }]")]
    [InlineData("\"parts\": [{ \"name\": \"house\", \"hangs\": [{ \"name\": \"added\", \"profile\": \"spot-head\", \"groups\": [\"heads\"] }] }]")]
    public void Names_numbers_and_addresses_stay_whatever_a_venue_does(string entries)
    {
        var before = Addresses(Load(null));
        foreach (var (name, address) in Addresses(Load(entries)).Where(a => a.Key != "added"))
        {
            Assert.Equal(before[name], address);
        }
    }

    [Fact]
    public void What_was_freed_is_told()
    {
        var whole = Load(null);
        var heads = whole.Fixtures.Where(f => f.Name.StartsWith("side", StringComparison.Ordinal)).ToList();
        var last = heads.Max(f => f.Patch[0].Start.Address + f.Mode.Footprints[0] - 1);
        Assert.Contains($"addresses freed in universe 2: 1 to {last} (side, side 2)", Load("\"remove\": [\"tower\"]").VenueChanges);

        // Others follow the same levels: nothing is freed.
        Assert.DoesNotContain(Load("\"remove\": [\"first\"]").VenueChanges, c => c.StartsWith("addresses freed", StringComparison.Ordinal));
    }

    [Fact]
    public void A_venue_that_says_so_gives_new_addresses_and_tells_it()
    {
        var rig = Load("\"patchRuns\": [ { \"start\": \"7.1\", \"fixtures\": [\"top 2\"] } ]");
        var addresses = Addresses(rig);
        var before = Addresses(Load(null));
        Assert.Equal("12 7.1", addresses["top 2"]);
        Assert.Equal(before["top 3"], addresses["top 3"]);
        Assert.Contains($"\"top 2\" addressed at 7.1 instead of {before["top 2"][3..]}", rig.VenueChanges);
    }

    [Fact]
    public void What_a_removed_fixture_carries_goes_with_it()
    {
        var tour = """
            { "hangs": [ { "name": "lift", "profile": "spot-head", "at": [0, 0, 5], "patch": "1.1" },
              { "name": "rider", "profile": "front-profile", "carriedBy": { "fixture": "lift", "part": "PART" }, "patch": "2.1" } ],
              "scenery": [ { "name": "flag", "shape": "box", "size": [1, 1, 1], "carriedBy": { "fixture": "lift", "part": "PART" } },
                { "name": "deck", "shape": "box", "size": [9, 9, 1] } ] }
            """;
        var part = Load(null).Fixtures.First(f => f.Name == "side").Mode.Geometry[^1].Name;
        Assert.True(RigLoader.TryLoad(_temp.Write("c.rig.jsonc", tour.Replace("PART", part, StringComparison.Ordinal)),
            TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", "{ \"name\": \"v\", \"remove\": [\"lift\"] }") }, out var rig, out var problems),
            string.Join('\n', problems));
        Assert.Empty(rig.Fixtures);
        Assert.Equal("deck", Assert.Single(rig.Scenery).Name);
        Assert.Contains("with \"lift\": lift, rider, flag", rig.VenueChanges);
    }
}
