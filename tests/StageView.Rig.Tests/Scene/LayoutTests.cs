using System.Numerics;
using StageView.Rig.Scene;
using StageView.Wire.Universes;

namespace StageView.Rig.Tests.Scene;

/// <summary>Where hangs end up. Expected values follow from the layout's own definition (documented in the schema), worked by hand.</summary>
public sealed class LayoutTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_row_of_three_reflected_makes_six_that_count_on()
    {
        var rig = _temp.Load("""
            { "hangs": [ { "name": "a", "profile": "front-profile", "number": 11, "row": { "from": [1, 0, 5], "to": [3, 2, 5], "count": 3 },
              "rotate": [0, 20, 0], "mirrored": true, "patch": { "start": "1.1", "step": 10 } } ] }
            """);
        Assert.Equal(["a 1", "a 2", "a 3", "a 4", "a 5", "a 6"], rig.Fixtures.Select(f => f.Name));
        Assert.Equal("16", rig.Fixtures[5].Number);
        Near(new(2, 1, 5), rig.Fixtures[1].Pose.Position);
        Near(new(-2, 1, 5), rig.Fixtures[4].Pose.Position);
        Assert.Equal("1.51", rig.Fixtures[5].Patch[0].Start.ToString());

        // Turned 20° about y, -z leans to -x: (-sin 20°, 0, -cos 20°); the reflected one to +x.
        Near(new(-.34202f, 0, -.93969f), rig.Fixtures[0].Pose.TransformDirection(-Vector3.UnitZ));
        Near(new(.34202f, 0, -.93969f), rig.Fixtures[3].Pose.TransformDirection(-Vector3.UnitZ));
    }

    [Fact]
    public void A_nested_part_moves_and_turns_what_it_holds()
    {
        var rig = _temp.Load("""
            { "parts": [ { "name": "tower", "at": [4, 0, 0], "rotate": [0, 0, 90], "parts": [
                { "name": "arm", "at": [1, 0, 3], "hangs": [ { "name": "a", "profile": "front-profile", "at": [0, 1, 0] } ] } ] } ] }
            """);

        // (0,1,0) + (1,0,3) = (1,1,3); a quarter turn about z makes it (-1,1,3); moved by (4,0,0).
        Near(new(3, 1, 3), rig.Fixtures[0].Pose.Position);
        Assert.Equal("arm", rig.Fixtures[0].Position);
    }

    [Fact]
    public void Aim_turns_the_look_to_the_point_with_up_kept_up()
    {
        var rig = _temp.Load("""
            { "hangs": [ { "name": "a", "profile": "front-profile", "at": [0, -4, 4], "aim": [3, 0, 4] } ] }
            """);
        var pose = rig.Fixtures[0].Pose;
        Near(new(.6f, .8f, 0), pose.TransformDirection(-Vector3.UnitZ));
        Near(Vector3.UnitZ, pose.TransformDirection(Vector3.UnitY));
    }

    [Fact]
    public void Facets_of_the_demo_wall_face_the_house_from_left_to_right()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        var facets = rig.Fixtures.Where(f => f.Groups.Contains("wall")).ToList();
        foreach (var (a, b) in facets.Zip(facets.Skip(1)))
        {
            Assert.True(a.Pose.Position.X < b.Pose.Position.X);

            // Column 0 is at the node's +X; the last column of one facet meets the first of the next within the frame's gap.
            var end = a.Pose.TransformPoint(new(-.6f, 0, 0));
            var start = b.Pose.TransformPoint(new(.6f, 0, 0));
            Assert.InRange(Vector3.Distance(end, start), 0, .02f);
        }

        var middle = facets[4].Pose;
        Near(-Vector3.UnitY, middle.TransformDirection(-Vector3.UnitZ));
        Near(Vector3.UnitZ, middle.TransformDirection(Vector3.UnitY));
        Assert.Equal("11.1", facets[0].Patch[0].Start.ToString());
        Assert.Equal("19.1", facets[8].Patch[0].Start.ToString());
    }

    // By hand: a quarter of a circle of 3 m, one at each end and one at 45 degrees, turned along: what is a metre inwards of each lies at 2 m.
    [Fact]
    public void Parts_and_scenery_stand_on_arcs()
    {
        var rig = _temp.Load("""
            { "parts": [ { "name": "tower", "at": [0, 1, 0], "arc": { "centre": [0, 0, 1], "radius": 3, "from": 0, "to": 90, "count": 3, "turn": true },
                "hangs": [ { "name": "a", "profile": "front-profile", "at": [0, 0, 5], "patch": "1.1" } ] } ],
              "scenery": [ { "name": "post", "shape": "box", "size": [1, 1, 1], "arc": { "centre": [0, 0, 0], "radius": 2, "from": 0, "to": 180, "count": 2 } },
                { "name": "both", "shape": "box", "size": [1, 1, 1] } ] }
            """);
        var s = MathF.Sqrt(.5f);
        Near(new(2, 0, 6), rig.Fixtures[0].Pose.Position);
        Near(new(2 * s, 2 * s, 6), rig.Fixtures[1].Pose.Position);
        Near(new(0, 2, 6), rig.Fixtures[2].Pose.Position);
        Assert.Equal(["tower 1", "tower 2", "tower 3"], rig.Fixtures.Select(f => f.Position));
        Near(new(2, 0, 0), rig.Scenery[0].Pose.Position);
        Near(new(-2, 0, 0), rig.Scenery[1].Pose.Position);
        Assert.Contains(_temp.Refused("""
            { "scenery": [ { "name": "post", "shape": "box", "size": [1, 1, 1], "arc": { "centre": [0, 0, 0], "radius": 2, "from": 0, "to": 180, "count": 2 },
              "row": { "from": [0, 0, 0], "to": [1, 0, 0], "count": 2 } } ] }
            """), p => p.Text.Contains("\"row\" and an \"arc\"", StringComparison.Ordinal));
    }

    // Joints of straight pieces lie on the circle: the middle of each is radius times the cosine of half its angle (7.5 degrees) from the centre.
    [Fact]
    public void A_truss_is_bent_to_a_circle_or_a_part_of_one()
    {
        var rig = _temp.Load("""
            { "scenery": [
              { "name": "ring", "shape": "truss", "at": [1, 2, 7], "circle": { "radius": 3 }, "width": 0.3 },
              { "name": "quarter", "shape": "truss", "circle": { "radius": 3, "from": 0, "to": 90 }, "width": 0.3, "mirrored": true } ] }
            """);
        var ring = World(rig, 0).Select(p => p - new System.Numerics.Vector3(1, 2, 7)).ToList();
        Assert.All(ring, p => Assert.InRange(MathF.Sqrt((p.X * p.X) + (p.Y * p.Y)), (3 * .9914f) - .2f, 3.2f));
        Assert.All(ring, p => Assert.InRange(p.Z, -.2f, .2f));
        Assert.InRange(ring.Max(p => p.X), 3.1f, 3.2f);
        Assert.InRange(ring.Min(p => p.Y), -3.2f, -3.1f);
        var quarter = World(rig, 1).ToList();
        Assert.All(quarter, p => Assert.True(p.X > -.1f && p.Y > -.1f, $"{p}"));
        Assert.InRange(quarter.Max(p => p.X), 3.1f, 3.2f);
        Assert.All(World(rig, 2), p => Assert.True(p.X < .1f && p.Y > -.1f, $"{p}"));
        Assert.Contains(_temp.Refused("""{ "scenery": [ { "name": "ring", "shape": "truss", "circle": { "radius": 0.1 } } ] }"""),
            p => p.Text.Contains("less than the width", StringComparison.Ordinal));
        Assert.Contains(_temp.Refused("""{ "scenery": [ { "name": "ring", "shape": "pipe", "circle": { "radius": 2, "from": 0, "to": 400 } } ] }"""),
            p => p.Text.Contains("up to 360 degrees", StringComparison.Ordinal));

        static IEnumerable<System.Numerics.Vector3> World(Pieces.RigScene rig, int piece) =>
            rig.Meshes[rig.Scenery[piece].Mesh].Positions.Select(p => rig.Scenery[piece].Pose.TransformPoint(p));
    }

    [Fact]
    public void A_one_sided_room_is_seen_from_inside_and_its_reflection_too()
    {
        var rig = _temp.Load("""
            { "scenery": [
              { "name": "hall", "shape": "room", "at": [9, 0, 0], "size": [4, 6, 3], "oneSided": true, "mirrored": true },
              { "name": "sheet", "shape": "plane", "at": [0, 0, 5], "rotate": [180, 0, 0], "size": [2, 2, 1], "oneSided": true },
              { "name": "floor", "shape": "plane", "size": [2, 2, 1] } ] }
            """);
        foreach (var wall in rig.Scenery.Where(s => s.RoomSide.Length > 0))
        {
            // Towards the middle of its own hall.
            var middle = new System.Numerics.Vector3(wall.Name.Contains("mirrored", StringComparison.Ordinal) ? -9 : 9, 0, 1.5f);
            var front = wall.Pose.TransformDirection(wall.SeenFrom);
            Assert.True(System.Numerics.Vector3.Dot(front, middle - wall.Pose.Position) > 1, $"{wall.Name} {front}");
        }

        Near(-System.Numerics.Vector3.UnitZ, rig.Scenery[^2].Pose.TransformDirection(rig.Scenery[^2].SeenFrom));
        Assert.Equal(default, rig.Scenery[^1].SeenFrom);
        Assert.Contains(_temp.Refused("""{ "scenery": [ { "name": "a", "shape": "box", "size": [1, 1, 1], "oneSided": true } ] }"""),
            p => p.Text.Contains("a box has no front", StringComparison.Ordinal));
    }

    [Fact]
    public void A_member_may_differ_and_a_run_may_be_ordered()
    {
        var rig = _temp.Load("""
            { "hangs": [ { "name": "a", "profile": "front-profile", "row": { "from": [0, 0, 0], "to": [4, 0, 0], "count": 5 },
              "patch": { "start": "2.1", "order": [5, 4, 3, 2, 1] },
              "members": [ { "member": 2, "name": "special", "mode": "Dimmer", "at": [1, 0, 9] }, { "member": 3, "leftOut": true }, { "member": 1,
                "patch": "7.7" } ] } ] }
            """);
        Assert.Equal(["a 1", "special", "a 4", "a 5"], rig.Fixtures.Select(f => f.Name));
        Near(new(1, 0, 9), rig.Fixtures[1].Pose.Position);
        Assert.Equal("7.7", rig.Fixtures[0].Patch[0].Start.ToString());
        Assert.Equal("2.1", rig.Fixtures[3].Patch[0].Start.ToString());
        Assert.Equal("2.5", rig.Fixtures[2].Patch[0].Start.ToString());

        // Member 3 is left out but keeps its addresses.
        Assert.Equal("2.13", rig.Fixtures[1].Patch[0].Start.ToString());
    }

    [Fact]
    public void A_run_goes_on_in_the_next_universe_where_a_fixture_no_longer_fits()
    {
        var rig = _temp.Load("""
            { "hangs": [ { "name": "a", "profile": "front-profile", "grid": { "from": [0, 0, 0], "acrossStep": [1, 0, 0], "downStep": [0, 1, 0], "columns": 10,
              "rows": 20 } } ],
              "patchRuns": [ { "start": "1.10", "fixtures": ["a*"] } ] }
            """);
        var starts = rig.Fixtures.Select(f => f.Patch[0].Start.Absolute).ToList();

        // 503 addresses are left in universe 1: 125 fixtures of 4; the rest starts at 2.1.
        Assert.Equal("1.506", UniverseAddress.FromAbsolute(starts[124]).ToString());
        Assert.Equal("2.1", UniverseAddress.FromAbsolute(starts[125]).ToString());
    }

    [Fact]
    public void Reflected_mirrors_still_reflect_on_their_front()
    {
        var rig = _temp.Load("""
            { "mirrors": [ { "name": "m", "at": [3, 1, 2], "rotate": [0, 0, 30], "size": [2, 1], "mirrored": true } ] }
            """);

        // Facing -y turned by 30° about z: (sin 30°, -cos 30°, 0); reflected: x negated.
        Near(new(.5f, -.86603f, 0), NormalOf(rig.Mirrors[0].Corners));
        Near(new(-.5f, -.86603f, 0), NormalOf(rig.Mirrors[1].Corners));
    }

    [Fact]
    public void Reflected_ladders_stand_where_their_reflection_stands()
    {
        var rig = _temp.Load("""
            { "scenery": [ { "name": "l", "shape": "ladder", "from": [3, 1, 0], "to": [3, 1, 5], "mirrored": true } ] }
            """);
        foreach (var (piece, x) in rig.Scenery.Zip((float[])[3, -3]))
        {
            var points = rig.Meshes[piece.Mesh].Positions.Select(piece.Pose.TransformPoint).ToList();
            Assert.InRange(points.Min(p => p.Z), -.03f, 0);
            Assert.InRange(points.Max(p => p.Z), 5, 5.03f);
            Assert.All(points, p => Assert.Equal(x, p.X, 1));
        }
    }

    private static Vector3 NormalOf(Vector3[] c) => Vector3.Normalize(Vector3.Cross(c[1] - c[0], c[2] - c[0]));

    private static void Near(Vector3 expected, Vector3 actual) =>
        Assert.True(Vector3.Distance(expected, actual) < 1e-4f, $"expected {expected}, got {actual}");
}
