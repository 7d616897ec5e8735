using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

/// <summary>Cameras, areas, volumes, focus points and sight lines under a venue: removed, moved, turned, replaced by name, and told.</summary>
public sealed class VenuePlacesTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour",
          "cameras": [ { "name": "front", "at": [0, -12, 2], "lookAt": [0, 4, 2] }, { "name": "balcony", "at": [0, -18, 6], "lookAt": [0, 4, 1] } ],
          "areas": [ { "name": "downstage", "corner": [-4, 1, 1.5], "across": [8, 0, 0], "along": [0, 2, 0], "points": [9, 3], "facing": [0, -1, 0] },
            { "name": "upstage", "corner": [-4, 5, 1.5], "across": [8, 0, 0], "points": [9] } ],
          "volumes": [ { "name": "stalls", "kind": "audience", "at": [0, -6, 1], "size": [10, 8, 2], "seats": [[0, -4, 1.2], [2, -6, 1.2]] },
            { "name": "fly floor", "kind": "crew", "at": [6, 4, 7], "size": [2, 6, 2] } ],
          "focusPoints": [ { "name": "solo", "at": [0, 2, 0] }, { "name": "solo upstage", "at": [0, 5, 0] } ],
          "sightLines": [ { "name": "under balcony", "eye": [0, -16, 1.2], "edge": [0, -12, 3.2] } ],
          "presets": [ { "name": "from above", "camera": "balcony" } ],
          "scenery": [ { "name": "rack", "shape": "box", "at": [6, 4, 1], "size": [1, 1, 2] },
            { "name": "desk", "shape": "box", "at": [0, -14, 1], "size": [1, 1, 2] } ],
          "connections": [ { "from": "rack", "to": "desk" } ],
          "hangs": [ { "name": "key", "profile": "front-profile", "number": 1, "at": [0, -4, 6], "aim": [0, 2, 1], "patch": "1.1" } ] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene? Load(string entries, out IReadOnlyList<RigProblem> problems, string tour = Tour)
    {
        RigLoader.TryLoad(_temp.Write("t.rig.jsonc", tour),
            TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", "{ \"name\": \"low hall\", " + entries + " }") }, out var rig, out problems);
        return rig;
    }

    private RigScene Load(string entries)
    {
        var rig = Load(entries, out var problems);
        return rig ?? throw new Xunit.Sdk.XunitException(string.Join('\n', problems));
    }

    [Theory]
    [InlineData("balcony", "camera")]
    [InlineData("upstage", "area")]
    [InlineData("stalls", "volume")]
    [InlineData("fly floor", "volume")]
    [InlineData("solo", "focus point")]
    [InlineData("under balcony", "sight line")]
    public void Each_is_removed_by_its_name_and_told(string what, string kind)
    {
        var rig = Load($"\"remove\": [{{ \"what\": \"{what}\", \"why\": \"no room\" }}]");
        Assert.DoesNotContain(what, Names(rig));
        Assert.Equal(8, Names(rig).Count());
        Assert.Contains($"{kind} \"{what}\" removed (no room)", rig.VenueChanges);
        Assert.Contains(what, rig.LeftOut);
    }

    [Fact]
    public void A_wildcard_takes_all_of_that_name_whatever_they_are()
    {
        var rig = Load("\"remove\": [\"*stage*\", \"*balcony\"]");
        Assert.Equal(["front", "stalls", "fly floor", "solo"], Names(rig));
        Assert.Contains("area \"downstage\" removed", rig.VenueChanges);
        Assert.Contains("focus point \"solo upstage\" removed", rig.VenueChanges);
    }

    [Fact]
    public void A_camera_is_moved_and_keeps_what_it_looks_at()
    {
        var rig = Load("\"move\": [{ \"what\": \"front\", \"by\": [1, 4, 0] }, { \"what\": \"balcony\", \"trim\": 4 }]");
        Assert.Equal((new Vector3(1, -8, 2), new Vector3(0, 4, 2)), (rig.Cameras[0].Position, rig.Cameras[0].Target));
        Assert.Equal(new Vector3(0, -18, 4), rig.Cameras[1].Position);
        Assert.Contains("\"front\" moved from [0, -12, 2] to [1, -8, 2]", rig.VenueChanges);
        Assert.Contains("\"balcony\" trimmed from 6 to 4 m", rig.VenueChanges);
    }

    // A quarter turn about z takes y to -x.
    [Fact]
    public void Turning_turns_the_view_the_edges_and_the_box()
    {
        var rig = Load("\"move\": [{ \"what\": \"front\", \"turn\": [0, 0, 90] }, { \"what\": \"downstage\", \"turn\": [0, 0, 90] }, "
            + "{ \"what\": \"stalls\", \"turn\": [0, 0, 90], \"size\": [4, 8, 2], \"by\": [0, -1, 0] }]");
        Near(new Vector3(-16, -12, 2), rig.Cameras[0].Target);
        Near(new Vector3(0, 8, 0), rig.Areas[0].EdgeU);
        Near(new Vector3(-2, 0, 0), rig.Areas[0].EdgeV);
        Near(new Vector3(1, 0, 0), rig.Areas[0].Normal);
        Near(new Vector3(-4, 1, 1.5f), rig.Areas[0].Origin);
        Assert.Equal(new Vector3(4, 8, 2), rig.Volumes[0].Size);
        Near(new Vector3(-2, -7, 1.2f), rig.Volumes[0].Seats[0]);
        Near(new Vector3(0, -5, 1.2f), rig.Volumes[0].Seats[1]);
    }

    [Fact]
    public void A_sight_line_moves_whole_and_another_of_its_name_takes_its_place()
    {
        var rig = Load("\"move\": [{ \"what\": \"under balcony\", \"by\": [0, 2, 1] }]");
        Near(new Vector3(0, -14, 2.2f), rig.SightLines[0].Eye);
        Near(new Vector3(0, -10, 4.2f), rig.SightLines[0].Edge);
        rig = Load("\"sightLines\": [{ \"name\": \"under balcony\", \"eye\": [0, -20, 1], \"edge\": [0, -10, 3] }]");
        Assert.Equal(-20, Assert.Single(rig.SightLines).Eye.Y);
        Assert.Contains("sight line \"under balcony\" replaced", rig.VenueChanges);
    }

    [Fact]
    public void What_the_venue_brings_itself_is_not_moved_by_it()
    {
        var rig = Load("\"move\": [{ \"what\": \"stalls\", \"by\": [0, -1, 0] }], "
            + "\"volumes\": [{ \"name\": \"stalls\", \"kind\": \"audience\", \"at\": [0, -9, 1], \"size\": [6, 6, 2] }]");
        Assert.Equal(new Vector3(0, -9, 1), rig.Volumes[^1].Pose.Position);
    }

    [Fact]
    public void What_refers_to_something_removed_is_told()
    {
        var rig = Load("\"remove\": [\"balcony\", \"desk\"]");
        Assert.Contains("preset \"from above\" can't be used: its camera \"balcony\" is not there", rig.VenueChanges);
        Assert.Contains("connection from \"rack\" to \"desk\" left out: \"desk\" is not there", rig.VenueChanges);
        Assert.False(rig.TryWithPreset("from above", out _, out var why));
        Assert.Contains("the venue \"low hall\" leaves it out", why, StringComparison.Ordinal);

        var aimed = Tour.Replace("\"aim\": [0, 2, 1]", "\"aim\": \"solo\"", StringComparison.Ordinal);
        Assert.Null(Load("\"remove\": [\"solo\"]", out var problems, aimed));
        Assert.Contains("no focus point is named \"solo\"; the venue \"low hall\" leaves it out; there are solo upstage",
            Assert.Single(problems).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_name_that_none_has_is_an_error_with_the_nearest()
    {
        Assert.Null(Load("\"remove\": [\"balcon\"]", out var problems));
        Assert.Contains("nothing in the tour rig is named \"balcon\": did you mean \"balcony\"?", Assert.Single(problems).ToString(), StringComparison.Ordinal);
    }

    private static void Near(Vector3 wanted, Vector3 is_) => Assert.True(Vector3.Distance(wanted, is_) < 1e-4f, $"{is_} instead of {wanted}");

    private static IEnumerable<string> Names(RigScene rig) =>
    [
        .. rig.Cameras.Select(c => c.Name), .. rig.Areas.Select(a => a.Name), .. rig.Volumes.Select(v => v.Name), .. rig.FocusPoints.Select(f => f.Name),
        .. rig.SightLines.Select(l => l.Name),
    ];
}
