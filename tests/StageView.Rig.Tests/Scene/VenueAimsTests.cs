using System.Numerics;
using System.Text;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>A venue file with its lanterns aimed anew looks where it was told, and is otherwise what it was.</summary>
public sealed class VenueAimsTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour", "hangs": [{ "name": "own", "profile": "front-profile", "number": 1, "at": [0, 0, 6], "patch": "1.1" }] }
        """;

    private const string Venue = """
        { // A house.
          "name": "House",
          "parts": [{ "name": "boom", "at": [-6, -2, 0], "mirrored": true, "mirroredName": "boom right",
            "hangs": [{ "name": "low", "profile": "front-profile", "mode": "Dimmer", "number": 801, /* two of them */
              "row": { "from": [0, 0, 4], "to": [0, 0, 5], "count": 2 }, "aim": [6, 4, 1], "patch": "30.1" }] }],
          "hangs": [{ "name": "rail", "profile": "front-profile", "mode": "Dimmer", "number": 841,
            "row": { "from": [-2, -12, 4], "to": [2, -12, 4], "count": 3 },
            "members": [{ "member": 2, "aim": [0, 0, 0] }, { "member": 3, "patch": "31.1" }], "aim": [0, 2, 1], "patch": "30.11" }]
        }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(byte[] venue)
    {
        var options = TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", Encoding.UTF8.GetString(venue)) };
        Assert.True(RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour), options, out var rig, out var problems), string.Join('\n', problems));
        return rig!;
    }

    [Fact]
    public void Single_ones_of_rows_and_reflected_halves_look_where_they_are_told()
    {
        var before = Load(Encoding.UTF8.GetBytes(Venue));
        var points = new[] { ("left", new Vector3(-3, 1, 1.5f)), ("right \"R\"", new Vector3(3.25f, 1, 1.5f)) };
        var told = new Dictionary<string, string> { ["801"] = "left", ["804"] = "right \"R\"", ["841"] = "left", ["842"] = "right \"R\"", ["843"] = "left" };
        Assert.All(before.Fixtures, f => Assert.Equal(f.Number != "1", f.OfVenue));
        Assert.True(VenueAims.TryWrite(Encoding.UTF8.GetBytes(Venue), "house", [.. before.Fixtures.Where(f => told.ContainsKey(f.Number))
            .Select(f => new VenueAim(f, told[f.Number]))], points, out var text, out var why), why);
        var after = Load(text);
        Assert.Equal(before.Fixtures.Select(f => (f.Name, f.Number, f.Patch[0], f.Pose.Position)),
            after.Fixtures.Select(f => (f.Name, f.Number, f.Patch[0], f.Pose.Position)));
        foreach (var (was, now) in before.Fixtures.Zip(after.Fixtures))
        {
            var looks = now.Pose.TransformDirection(-Vector3.UnitZ);
            if (told.TryGetValue(now.Number, out var name))
            {
                var point = points.Single(p => p.Item1 == name).Item2;
                Assert.InRange(Vector3.Distance(looks, Vector3.Normalize(point - now.Pose.Position)), 0, 1e-4f);
                Assert.InRange(Vector3.Distance(looks, VenueAims.Aimed(was.Pose, point).TransformDirection(-Vector3.UnitZ)), 0, 1e-4f);
            }
            else
            {
                Assert.InRange(Vector3.Distance(looks, was.Pose.TransformDirection(-Vector3.UnitZ)), 0, 1e-5f);
            }
        }

        // Comments, and all that isn't told, are as they were.
        var written = Encoding.UTF8.GetString(text);
        Assert.StartsWith("{ \"focusPoints\": [", written, StringComparison.Ordinal);
        Assert.Contains("// A house.", written, StringComparison.Ordinal);
        Assert.Contains("/* two of them */", written, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fixture_of_the_tour_and_a_broken_file_are_refused()
    {
        var rig = Load(Encoding.UTF8.GetBytes(Venue));
        Assert.False(VenueAims.TryWrite(Encoding.UTF8.GetBytes("{ \"name\": \"Else\", \"hangs\": [] }"), "else.venue.jsonc",
            [new VenueAim(rig.Fixtures[^1], "x")], [("x", Vector3.Zero)], out _, out var why));
        Assert.Equal($"else.venue.jsonc: {rig.Fixtures[^1].Name} is not hung in this file", why);
        Assert.False(VenueAims.TryWrite(Encoding.UTF8.GetBytes(Venue), "house",
            [new VenueAim(rig.Fixtures.Single(f => f.Name == "own"), "x")], [("x", Vector3.Zero)], out _, out why));
        Assert.Equal("house: own is not hung in this file", why);
        Assert.False(VenueAims.TryWrite(Encoding.UTF8.GetBytes("{ \"name\": "), "broken.venue.jsonc",
            [new VenueAim(rig.Fixtures[^1], "x")], [("x", Vector3.Zero)], out _, out why));
        Assert.StartsWith("broken.venue.jsonc:1:", why, StringComparison.Ordinal);
    }
}
