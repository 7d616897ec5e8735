using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Cautions.Volumes;

/// <summary>Cones against boxes and lenses whose angles are known by hand.</summary>
public sealed class FieldConeTests
{
    private static readonly OcclusionScene s_empty = OcclusionScene.From(Rooms.Builder().Build(TimeSpan.Zero));

    private static FieldCone Cone(double halfDegrees, Vector3 axis) =>
        new(new Vector3(0, 0, 5), Vector3.Normalize(axis), (float)(halfDegrees * Math.PI / 180), .1f, new FixtureIndex(0));

    private static WatchedVolume Box(Vector3 centre, Vector3 size, float turn = 0) =>
        new("box", false, Pose.FromDegrees(centre, new Vector3(0, 0, turn)), size);

    // Of the box's top, 2 m under the axis, the far edge is seen nearest to the axis: 2 m down over 8 m, 14.04 degrees.
    [Theory]
    [InlineData(13.9, false)]
    [InlineData(14.2, true)]
    public void A_cone_meets_a_box_from_the_angle_of_its_nearest_edge_on(double half, bool meets) =>
        Assert.Equal(meets, Cone(half, Vector3.UnitY).Enters(s_empty, Box(new(0, 6, 1.5f), new(10, 4, 3)), out _));

    // Turned by 45 degrees it is the far corner (0, 6 + 2·√2, 3): 12.77 degrees.
    [Theory]
    [InlineData(12.7, false)]
    [InlineData(12.85, true)]
    public void Of_a_turned_box_it_is_the_corner(double half, bool meets)
    {
        Assert.Equal(meets, Cone(half, Vector3.UnitY).Enters(s_empty, Box(new(0, 6, 1.5f), new(4, 4, 3), 45), out var point));
        if (meets)
        {
            Assert.InRange(Vector3.Distance(point, new Vector3(0, 6 + (2 * MathF.Sqrt(2)), 3)), 0, 1e-3f);
        }
    }

    [Fact]
    public void What_lies_behind_the_lens_or_holds_it_is_told_apart()
    {
        Assert.False(Cone(30, Vector3.UnitY).Enters(s_empty, Box(new(0, -6, 5), new(4, 4, 3)), out _));
        Assert.True(Cone(1, Vector3.UnitY).Enters(s_empty, Box(new(0, 0, 5), new(1, 1, 1)), out _));
    }

    // What the axis strikes in the middle of a wide face is met by the thinnest cone, along each axis of the world.
    [Fact]
    public void The_axis_in_the_middle_of_a_face_is_met_however_thin_the_cone()
    {
        foreach (var axis in (Vector3[])[Vector3.UnitX, -Vector3.UnitX, Vector3.UnitY, -Vector3.UnitY, Vector3.UnitZ, -Vector3.UnitZ])
        {
            Assert.True(Cone(.1, axis).Enters(s_empty, Box(new Vector3(0, 0, 5) + (axis * 30), new(20, 20, 20)), out var point), $"{axis}");
            Assert.InRange(Vector3.Distance(point, new Vector3(0, 0, 5) + (axis * 20)), 0, .1f);
            Assert.False(Cone(30, -axis).Enters(s_empty, Box(new Vector3(0, 0, 5) + (axis * 30), new(20, 20, 20)), out _), $"{axis}");
        }
    }

    // A plate 2 m off, 1 m to each side, hides what is within 26.6 degrees to the side; half of it only the one half.
    [Theory]
    [InlineData(20, 0, false)]
    [InlineData(20, 1, true)]
    [InlineData(40, 0, true)]
    public void A_plate_hides_what_it_covers_and_no_more(double half, float beside, bool enters)
    {
        var builder = Rooms.Builder();
        builder.Add(Rooms.Plate(new Vector3(beside, 2, 5), 1, new Vector3(90, 0, 0)));
        Assert.Equal(enters, Cone(half, Vector3.UnitY).Enters(OcclusionScene.From(builder.Build(TimeSpan.Zero)), Box(new(0, 8, 5), new(20, 2, 10)), out _));
    }

    // A lens 10 m off and 2 m beside the axis: 11.31 degrees.
    [Theory]
    [InlineData(9, 2, false)]
    [InlineData(9, 2.4, true)]
    [InlineData(11.4, 0, true)]
    public void A_lens_is_dazzled_within_the_field_and_what_is_asked_beside_it(double half, double more, bool dazzled)
    {
        var lens = new Vector3(2, 10, 5);
        Assert.Equal(dazzled, Cone(half, Vector3.UnitY).Dazzles(s_empty, lens, (float)(more * Math.PI / 180)));
        var builder = Rooms.Builder();
        builder.Add(Rooms.Plate(new Vector3(0, 5, 5), 3, new Vector3(90, 0, 0)));
        Assert.False(Cone(half, Vector3.UnitY).Dazzles(OcclusionScene.From(builder.Build(TimeSpan.Zero)), lens, (float)(more * Math.PI / 180)));
    }
}
