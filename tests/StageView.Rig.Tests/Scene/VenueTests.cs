using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

public sealed class VenueTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour",
          "cameras": [ { "name": "house", "at": [0, -10, 2], "lookAt": [0, 0, 2] } ],
          "parts": [ { "name": "truss", "at": [0, 2, 8], "hangs": [ { "name": "head", "profile": "spot-head", "row": { "from": [-2, 0, 0], "to": [2, 0, 0],
            "count": 3 }, "patch": "1.1" } ] },
                     { "name": "rear truss", "at": [0, 6, 8], "hangs": [ { "name": "wall", "profile": "pixel-tube", "at": [0, 0, -1], "patch": "2.1" } ] } ],
          "scenery": [ { "name": "deck", "shape": "box", "size": [12, 8, 1] } ] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private bool Load(string venue, out RigScene? rig, out IReadOnlyList<RigProblem> problems) =>
        RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour), TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", venue) }, out rig, out problems);

    [Fact]
    public void A_venue_moves_removes_adds_and_tells_what_it_did()
    {
        Assert.True(Load("""
            { "name": "Small hall",
              "move": [ { "what": "truss", "trim": 6.5, "why": "low roof" }, { "what": "deck", "size": [9, 6, 1] }, { "what": "head", "by": [0, 0.5, 0] } ],
              "cameras": [ { "name": "house", "at": [0, -6, 2], "lookAt": [0, 0, 2] } ],
              "hangs": [ { "name": "house light", "profile": "front-profile", "at": [0, -4, 5], "patch": "9.1" } ],
              "sightLines": [ { "name": "under the balcony", "eye": [0, -12, 0], "edge": [0, -6, 2] } ] }
            """, out var rig, out var problems), string.Join('\n', problems));
        Assert.Equal(new Vector3(-2, 2.5f, 6.5f), rig!.Fixtures[0].Pose.Position);
        Assert.Equal(new Vector3(9, 6, 1), rig.Scenery[0].Scale);
        Assert.Equal(-6, Assert.Single(rig.Cameras).Position.Y);
        Assert.Contains(rig.Fixtures, f => f.Name == "house light");
        Assert.Contains("\"truss\" trimmed from 8 to 6.5 m (low roof)", rig.VenueChanges);
        Assert.Contains("camera \"house\" replaced", rig.VenueChanges);
        Assert.Contains("hang \"house light\" added", rig.VenueChanges);

        // From (−12, 0) under (−6, 2) the line rises a third: 6 m high at y = 6; the tube hangs at 7 m.
        Assert.Contains("sight line \"under the balcony\": 1 can't be seen from there: wall", Assert.Single(problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_venue_removes_parts_with_what_hangs_in_them()
    {
        Assert.True(Load("{ \"name\": \"v\", \"remove\": [\"rear*\"] }", out var rig, out _));
        Assert.Equal(3, rig!.Fixtures.Count);
        Assert.Equal(["part \"rear truss\" removed", "with \"rear truss\": wall"], rig.VenueChanges.Take(2));
    }

    [Fact]
    public void What_meets_nothing_is_a_mistake()
    {
        Assert.False(Load("{ \"name\": \"v\", \"remove\": [\"balcony\"],\n \"move\": [ { \"what\": \"tross\", \"trim\": 5 } ], \"mov\": 1 }", out _,
            out var problems));
        Assert.Contains(problems, p => p.ToString().Contains("v.venue.jsonc:2: $.mov", StringComparison.Ordinal));
        Assert.False(Load("{ \"name\": \"v\", \"remove\": [\"balcony\"],\n \"move\": [ { \"what\": \"tross\", \"trim\": 5 } ] }", out _, out problems));
        Assert.Equal(2, problems.Count(p => p.Text.StartsWith("nothing in the tour rig", StringComparison.Ordinal)));
    }

    /// <summary>A truss whose scenery bears its name is trimmed once, with all that hangs in it.</summary>
    [Fact]
    public void What_bears_the_name_of_the_part_it_lies_in_is_not_moved_twice()
    {
        var path = _temp.Write("t.rig.jsonc", """
            { "parts": [ { "name": "truss", "at": [0, 2, 8], "scenery": [ { "name": "truss", "shape": "truss", "from": [-2, 0, 0], "to": [2, 0, 0] } ],
                "hangs": [ { "name": "truss head", "profile": "spot-head", "patch": "1.1" } ] } ],
              "scenery": [ { "name": "truss", "shape": "pipe", "from": [-2, 0, 3], "to": [2, 0, 3] } ] }
            """);
        Assert.True(RigLoader.TryLoad(path,
            TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", "{ \"name\": \"v\", \"move\": [ { \"what\": \"truss\", \"by\": [0, 0, -1] } ] }") },
            out var rig, out _));
        Assert.Equal(7, rig.Fixtures[0].Pose.Position.Z);
        float Middle(SceneryPiece s) => rig.Meshes[s.Mesh].Positions.Average(p => s.Pose.TransformPoint(p * s.Scale).Z);
        Assert.Equal([7f, 2f], rig.Scenery.Select(s => MathF.Round(Middle(s), 2)).OrderDescending());
        Assert.Equal(3, rig.VenueChanges.Count);
    }
}
