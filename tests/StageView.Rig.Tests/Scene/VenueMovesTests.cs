using System.Numerics;
using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>A motion of a part in the world, written as a venue's move and read again, is that motion.</summary>
public sealed class VenueMovesTests : IDisposable
{
    private const string Tour = """
        { "name": "Tour",
          "parts": [
            { "name": "tower", "at": [-5, 2, 0], "rotate": [0, 0, 20], "mirrored": true, "mirroredName": "tower right",
              "hangs": [ { "name": "low", "profile": "spot-head", "at": [0.3, 0, 1], "number": 1, "patch": "1.1" } ],
              "parts": [ { "name": "arm", "at": [0.5, 0, 4], "rotate": [10, 0, 90],
                "hangs": [ { "name": "high", "profile": "spot-head", "at": [0, 0.4, 0], "rotate": [0, 30, 0], "number": 11, "patch": "2.1" } ] } ] },
            { "name": "truss", "at": [0, 0, 7], "row": { "from": [0, 0, 0], "to": [0, 6, 0], "count": 3 },
              "hangs": [ { "name": "over", "profile": "spot-head", "row": { "from": [-3, 0, 0], "to": [3, 0, 0], "count": 2 }, "patch": "3.1" } ] },
            { "name": "fan", "at": [4, 0, 6], "arc": { "centre": [0, 3, 0], "radius": 2, "from": -90, "to": 90, "count": 1, "turn": true },
              "hangs": [ { "name": "side", "profile": "spot-head", "number": 41, "patch": "4.1" } ] } ] }
        """;

    private static readonly RigidMotion s_motion = RigidMotion.About(new Vector3d(1, 2, 5), new Vector3d(.1, -.2, .7), new Vector3d(.5, -.3, -1.2));

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(string? venue = null)
    {
        var options = venue is null ? TempRig.WithAssets : TempRig.WithAssets with { Venue = _temp.Write("v.venue.jsonc", venue) };
        Assert.True(RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour), options, out var rig, out var problems), string.Join('\n', problems));
        return rig!;
    }

    [Theory]
    [InlineData("tower", 2)]
    [InlineData("tower right", 2)]
    [InlineData("truss 2", 2)]
    [InlineData("fan", 1)]
    public void A_part_goes_as_it_is_told_with_all_that_it_holds_and_alone(string name, int fixtures)
    {
        var tour = Load();
        var part = tour.Parts.Single(p => p.Name == name);
        var (by, turn) = part.MoveOf(s_motion);
        var under = Load(VenueMoves.Write("v", ["a comment"], [new VenueMove(name, by, turn, "why \"not\"")]));
        Assert.Equal(fixtures, tour.Fixtures.Count(f => Holds(tour, part, f.Part)));
        foreach (var f in tour.Fixtures)
        {
            AssertAt(under[f.Index], f.Pose, Holds(tour, part, f.Part) ? s_motion : RigidMotion.Identity);
        }
    }

    /// <summary>The one in the reflected half as well: what holds it has left-handed axes there.</summary>
    [Fact]
    public void A_part_within_a_reflected_one_is_said_in_that_one_s_coordinates()
    {
        var tour = Load();
        foreach (var part in tour.Parts.Where(p => p.Name == "arm"))
        {
            var (by, turn) = part.MoveOf(s_motion);
            var move = Pose.FromDegrees(default, turn.ToSingle());
            var holder = part.HolderAxes;
            Vector3 ToWorld(Vector3d v) => (part.HolderOrigin + (holder.X * v.X) + (holder.Y * v.Y) + (holder.Z * v.Z)).ToSingle();
            var origin = Vector3d.From(part.InHolder.Position) + by;
            Assert.True(Vector3.Distance(ToWorld(origin), s_motion.Apply(part.Origin).ToSingle()) < 1e-5f);

            // A point a metre along the holder's x from the part's origin.
            var along = origin + Vector3d.From(move.TransformDirection(Vector3.UnitX));
            var was = part.HolderOrigin + part.Origin - part.HolderOrigin + holder.X;
            Assert.True(Vector3.Distance(ToWorld(along), s_motion.Apply(was).ToSingle()) < 1e-5f);
        }
    }

    [Theory]
    [InlineData("{ \"name\": \"v\", // mine\n \"move\": [ { \"what\": \"truss\", \"trim\": 6 }, { \"what\": \"truss 2\", \"alone\": true, \"trim\": 5 }, ] }")]
    [InlineData("{ \"name\": \"v\", \"move\": [] }")]
    [InlineData("{ \"name\": \"v\" }")]
    public void Moves_come_behind_those_of_a_venue_file_and_the_rest_stays(string venue)
    {
        var before = Load(venue);
        var part = before.Parts.Single(p => p.Name == "truss 2");
        var (by, turn) = part.MoveOf(s_motion);
        var move = new VenueMove("truss 2", by, turn, "");
        Assert.True(VenueMoves.TryAdd(Encoding.UTF8.GetBytes(venue), "v.venue.jsonc", [move], out var text, out var why), why);
        var after = Load(Encoding.UTF8.GetString(text));
        foreach (var f in before.Fixtures)
        {
            AssertAt(after[f.Index], f.Pose, f.Part == part.Index ? s_motion : RigidMotion.Identity);
        }

        Assert.Equal(venue.Contains("// mine", StringComparison.Ordinal), Encoding.UTF8.GetString(text).Contains("// mine", StringComparison.Ordinal));
    }

    [Fact]
    public void A_venue_file_that_is_none_is_refused_with_its_line()
    {
        Assert.False(VenueMoves.TryAdd("{\n \"nam\": \"v\" }"u8.ToArray(), "v.venue.jsonc", [], out _, out var why));
        Assert.StartsWith("v.venue.jsonc:2:", why, StringComparison.Ordinal);
    }

    private static bool Holds(RigScene rig, RigPart part, PartIndex within) =>
        !within.IsNone && (within == part.Index || Holds(rig, part, rig.Parts[within.Value].Holder));

    private static void AssertAt(Fixture now, Pose before, RigidMotion motion)
    {
        Assert.True(Vector3.Distance(now.Pose.Position, motion.Apply(Vector3d.From(before.Position)).ToSingle()) < 1e-4f, now.Name);
        foreach (var axis in (Vector3[])[Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ])
        {
            var turned = motion.Turn(Vector3d.From(before.TransformDirection(axis))).ToSingle();
            Assert.True(Vector3.Distance(now.Pose.TransformDirection(axis), turned) < 1e-5f, now.Name);
        }
    }
}
