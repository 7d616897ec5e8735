using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>Whatever has a name in the paperwork can be named in a venue file.</summary>
public sealed class VenueNamesTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour",
          "parts": [
            { "name": "tower left", "at": [-5, 2, 0], "mirrored": true, "mirroredName": "tower right",
              "scenery": [ { "name": "ladder", "shape": "ladder", "from": [0, 0, 0], "to": [0, 0, 4] } ],
              "hangs": [ { "name": "tower head", "profile": "spot-head", "row": { "from": [0.3, 0, 1], "to": [0.3, 0, 3], "count": 2 }, "groups": ["sides"],
                "number": 101, "patch": "1.1" } ] },
            { "name": "truss", "at": [0, 0, 7], "row": { "from": [0, 0, 0], "to": [0, 6, 0], "count": 3 },
              "hangs": [ { "name": "wash", "profile": "front-profile", "number": 201, "patch": "2.1" } ] } ],
          "hangs": [ { "name": "wall", "profile": "pixel-tube", "position": "rear wall", "grid": { "from": [0, 8, 3], "acrossStep": [1, 0, 0],
            "downStep": [0, 0, -1], "columns": 2, "rows": 2 }, "patch": "3.1" } ],
          "scenery": [ { "name": "hall", "shape": "room", "size": [30, 30, 10] },
            { "name": "riser", "shape": "box", "at": [3, 4, 0.2], "size": [2, 1, 0.4], "mirrored": true } ],
          "mirrors": [ { "name": "glass", "at": [0, 7, 3], "size": [2, 1], "panels": { "columns": 2, "rows": 1 } } ] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(string entries)
    {
        var ok = RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour),
            TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", "{ \"name\": \"v\", " + entries + " }") }, out var rig, out var problems);
        Assert.True(ok, string.Join('\n', problems));
        return rig!;
    }

    private static string[] Names(RigScene rig, string start) =>
        [.. rig.Fixtures.Where(f => f.Name.StartsWith(start, StringComparison.Ordinal)).Select(f => f.Name)];

    [Fact]
    public void A_mirror_image_is_removed_alone()
    {
        var rig = Load("\"remove\": [\"tower right\"]");
        Assert.Equal(["tower head 1", "tower head 2"], Names(rig, "tower head"));
        Assert.Single(rig.Scenery, s => s.Name == "ladder");
        Assert.Contains("part \"tower right\" removed", rig.VenueChanges);
        Assert.Contains("with \"tower right\": ladder, tower head 3 to 4", rig.VenueChanges);
    }

    [Fact]
    public void The_part_as_written_goes_with_its_mirror_image_and_says_so()
    {
        var rig = Load("\"remove\": [\"tower left\"]");
        Assert.Empty(Names(rig, "tower head"));
        Assert.Contains("part \"tower left\" removed", rig.VenueChanges);
        Assert.Contains("with \"tower left\": ladder (2), its mirror image tower right, tower head 1 to 4", rig.VenueChanges);
    }

    [Fact]
    public void Alone_leaves_the_mirror_image()
    {
        var rig = Load("\"remove\": [{ \"what\": \"tower left\", \"alone\": true, \"why\": \"a fire door\" }]");
        Assert.Equal(["tower head 3", "tower head 4"], Names(rig, "tower head"));
        Assert.Contains("part \"tower left\" removed (a fire door)", rig.VenueChanges);
        Assert.Contains("with \"tower left\": ladder, tower head 1 to 2", rig.VenueChanges);
    }

    [Theory]
    [InlineData("tower head 3", 3)]
    [InlineData("sides", 0)]
    [InlineData("tower head*", 0)]
    [InlineData("* head 3", 3)]
    public void Fixtures_and_groups_are_removed_by_name(string what, int left) =>
        Assert.Equal(left, Names(Load($"\"remove\": [\"{what}\"]"), "tower head").Length);

    [Fact]
    public void One_of_several_is_moved_alone()
    {
        var before = Load("\"remove\": []");
        var rig = Load("""
            "move": [ { "what": "tower right", "by": [1, 0, 0] }, { "what": "truss 2", "trim": 5 }, { "what": "wall 4", "by": [0, 0, 0.5] },
              { "what": "riser mirrored", "by": [1, 0, 0] }, { "what": "hall rear", "by": [0, -3, 0] }, { "what": "glass 2.1", "by": [0, 0, 1] } ]
            """);
        foreach (var f in rig.Fixtures)
        {
            var by = f.Name switch
            {
                "tower head 3" or "tower head 4" => new Vector3(1, 0, 0),
                "wash 2" => new Vector3(0, 0, -2),
                "wall 4" => new Vector3(0, 0, .5f),
                _ => default,
            };
            Assert.Equal(before.Fixtures[f.Index.Value].Pose.Position + by, f.Pose.Position);
        }

        for (var i = 0; i < rig.Scenery.Count; i++)
        {
            var moved = rig.Scenery[i].Pose.Position - before.Scenery[i].Pose.Position;
            var by = rig.Scenery[i].Name switch
            {
                "riser mirrored" => new Vector3(1, 0, 0),
                "hall rear" => new Vector3(0, -3, 0),
                "ladder" when before.Scenery[i].Pose.Position.X > 0 => new Vector3(1, 0, 0),
                _ => default,
            };
            Assert.True(Vector3.Distance(by, moved) < 1e-4f, rig.Scenery[i].Name);
        }

        Assert.Equal(before.Mirrors[0].Corners, rig.Mirrors[0].Corners);
        Assert.Equal(before.Mirrors[1].Corners[0].Z + 1, rig.Mirrors[1].Corners[0].Z, 4);
        Assert.Contains("\"truss 2\" trimmed from 7 to 5 m", rig.VenueChanges);
        Assert.Contains("with \"truss 2\": wash 2", rig.VenueChanges);
        Assert.Contains("\"tower right\" moved from [5, 2, 0] to [6, 2, 0]", rig.VenueChanges);
        Assert.Contains("\"wall 4\" moved from [1, 8, 2] to [1, 8, 2.5]", rig.VenueChanges);
    }

    [Fact]
    public void What_a_copy_holds_is_not_moved_twice_by_the_entry_that_moved_it()
    {
        var before = Load("\"remove\": []");
        var rig = Load("\"move\": [ { \"what\": \"tower*\", \"alone\": true, \"by\": [0, 1, 0] } ]");
        Assert.All(rig.Fixtures.Where(f => f.Name.StartsWith("tower", StringComparison.Ordinal)),
            f => Assert.Equal(before.Fixtures[f.Index.Value].Pose.Position + Vector3.UnitY, f.Pose.Position));
    }

    [Fact]
    public void What_one_entry_moves_is_told_as_one()
    {
        var rig = Load("\"move\": [ { \"what\": \"rear wall\", \"by\": [0, 0, 1], \"why\": \"a step\" } ], \"remove\": [\"hall *\"]");
        Assert.Contains("\"rear wall\" moved by [0, 0, 1] (a step): wall 1 to 4", rig.VenueChanges);
        Assert.Contains("\"hall *\" removed: hall floor, hall ceiling, hall left, hall right, hall rear, hall front", rig.VenueChanges);
        Assert.DoesNotContain(rig.Scenery, s => s.Name.StartsWith("hall", StringComparison.Ordinal));
    }

    [Fact]
    public void One_is_replaced_by_another_of_its_name()
    {
        var rig = Load("""
            "remove": ["wash 2"], "hangs": [ { "name": "wash 2", "profile": "spot-head", "at": [0, 3, 6], "patch": "9.1" } ]
            """);
        Assert.Equal(6, Assert.Single(rig.Fixtures, f => f.Name == "wash 2").Pose.Position.Z);
        Assert.Equal("203", Assert.Single(rig.Fixtures, f => f.Name == "wash 3").Number);
    }

    [Fact]
    public void An_unknown_name_is_told_with_the_nearest()
    {
        RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour),
            TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", "{ \"name\": \"v\", \"remove\": [\"towr right\"] }") }, out _, out var problems);
        Assert.Equal("nothing in the tour rig is named \"towr right\": did you mean \"tower right\"?", Assert.Single(problems).Text);
    }
}
