using System.Numerics;
using StageView.Light.Cautions.Moving;
using StageView.Light.Geometry;

namespace StageView.Light.Tests.Cautions.Moving;

public sealed class DistancesTests
{
    private static Vector3 Any(Random random, float half) =>
        new((random.NextSingle() - 0.5f) * 2 * half, (random.NextSingle() - 0.5f) * 2 * half, (random.NextSingle() - 0.5f) * 2 * half);

    private static Solid Piece(Random random) => random.Next(2) == 0
        ? Solid.Box(Pose.FromDegrees(Any(random, 3), Any(random, 180)), new Vector3(0.1f, 0.1f, 0.1f) + Vector3.Abs(Any(random, 3)))
        : Solid.Capsule(Any(random, 3), Any(random, 3), random.NextSingle());

    // By hand: plain geometry of right angles.
    [Fact]
    public void Worked_by_hand()
    {
        var cube = Solid.Box(Pose.Identity, new Vector3(2));
        // Face to face, 3 - 1 - 1; a corner turned by 45° reaches √2.
        Assert.Equal(1, Distances.Between(cube, Solid.Box(Pose.At(3, 0, 0), new Vector3(2))).Metres, 1e-5f);
        Assert.Equal(2 - MathF.Sqrt(2),
            Distances.Between(cube, Solid.Box(Pose.FromDegrees(new Vector3(3, 0, 0), new Vector3(0, 0, 45)), new Vector3(2))).Metres, 1e-5f);
        // Two edges at right angles: both stand on edge, 3 m apart, and reach √2 towards each other.
        var across = Solid.Box(Pose.FromDegrees(new Vector3(0, 0, 3), new Vector3(45, 0, 0)), new Vector3(2));
        var along = Solid.Box(Pose.FromDegrees(Vector3.Zero, new Vector3(0, 45, 0)), new Vector3(2));
        Assert.Equal(3 - (2 * MathF.Sqrt(2)), Distances.Between(across, along).Metres, 1e-5f);
        // A bar of radius .25 that passes 2 m above the cube's middle; one that pierces it.
        Assert.Equal(0.75f, Distances.Between(Solid.Capsule(new Vector3(-5, 0.3f, 2), new Vector3(5, 0.3f, 2), 0.25f), cube).Metres, 1e-5f);
        Assert.Equal(0, Distances.Between(cube, Solid.Capsule(new Vector3(-5, 0.3f, 0.2f), new Vector3(5, 0.3f, 0.2f), 0)).Metres);
        // Skew bars: along x at z = 0, along y at z = 2, radii .5 and .25.
        Assert.Equal(1.25f, Distances.Between(
            Solid.Capsule(new Vector3(-1, 0, 0), new Vector3(1, 0, 0), 0.5f),
            Solid.Capsule(new Vector3(0, -1, 2), new Vector3(0, 1, 2), 0.25f)).Metres, 1e-5f);
    }

    /// <summary>
    /// Both ends lie on the solids; no pair of sampled points of them is closer; and the separating plane through the ends proves that none can be.
    /// </summary>
    [Fact]
    public void Random_pairs_are_exact()
    {
        var random = new Random(31);
        var apart = 0;
        Span<Vector3> pa = stackalloc Vector3[8];
        Span<Vector3> pb = stackalloc Vector3[8];
        for (var k = 0; k < 3000; k++)
        {
            var (a, b) = (Piece(random), Piece(random));
            var c = Distances.Between(a, b);
            Assert.Equal(c.Metres, Distances.Between(b, a).Metres, 1e-4f);
            for (var i = 0; i < 40; i++)
            {
                Assert.True(Vector3.Distance(Within(random, a), Within(random, b)) >= c.Metres - 1e-4f, $"case {k}");
            }

            if (c.Metres <= 1e-3f)
            {
                continue;
            }

            apart++;
            Assert.Equal(c.Metres, Vector3.Distance(c.PointA, c.PointB), 1e-4f);
            // Both solids are convex: if along the line between the ends all of a lies before its end and all of b beyond its end, nothing is closer.
            var n = (c.PointB - c.PointA) / c.Metres;
            var (na, nb) = (a.Corners(pa), b.Corners(pb));
            for (var i = 0; i < na; i++)
            {
                Assert.True(Vector3.Dot(pa[i] - c.PointA, n) <= -a.Radius + 2e-3f, $"case {k}: {a} {b} {c}");
            }

            for (var i = 0; i < nb; i++)
            {
                Assert.True(Vector3.Dot(pb[i] - c.PointB, n) >= b.Radius - 2e-3f, $"case {k}: {a} {b} {c}");
            }
        }

        Assert.InRange(apart, 500, 2900);
    }

    [Fact]
    public void Overlapping_boxes_are_told_by_fifteen_axes()
    {
        var cube = Solid.Box(Pose.Identity, new Vector3(2));
        var spike = new Vector3(0.1f, 0.1f, 6);
        Assert.Equal(0, Distances.Between(cube, Solid.Box(Pose.FromDegrees(new Vector3(0, 0, 2), new Vector3(20, 10, 0)), spike)).Metres);
        Assert.Equal(0, Distances.Between(cube, Solid.Box(Pose.Identity, new Vector3(0.2f))).Metres);
        // Passes over the edge x = z = 1, along (1, 1, -1): its core .2·√2 away, its sides .05 to .071 nearer.
        var d = Vector3.Normalize(new Vector3(1, 1, -1));
        var turned = Quaternion.CreateFromAxisAngle(Vector3.Normalize(Vector3.Cross(Vector3.UnitZ, d)), MathF.Acos(d.Z));
        var beside = Distances.Between(cube, Solid.Box(new Pose(new Vector3(1.2f, 0, 1.2f), turned), spike));
        Assert.InRange(beside.Metres, 0.2828f - 0.0708f, 0.2828f - 0.0499f);
    }

    [Fact]
    public void On_plan_a_piece_is_over_a_volume_or_beside_it()
    {
        var floor = Solid.Box(Pose.FromDegrees(new Vector3(0, 0, 1), new Vector3(0, 0, 30)), new Vector3(4, 2, 2));
        Assert.Equal(0, Distances.Plan(Solid.Capsule(new Vector3(0, 0, 9), new Vector3(0, 0, 12), 0.1f), floor));
        Assert.Equal(0, Distances.Plan(Solid.Box(Pose.At(0.2f, 0.1f, 8), new Vector3(10)), floor));
        // A ball of radius .5 whose middle is 3 m away along the volume's short axis: 3 - 1 - .5.
        var aside = new Vector3(-MathF.Sin(MathF.PI / 6), MathF.Cos(MathF.PI / 6), 0) * 3;
        Assert.Equal(1.5f, Distances.Plan(Solid.Capsule(aside + new Vector3(0, 0, 7), aside + new Vector3(0, 0, 7), 0.5f), floor), 1e-4f);
    }

    private static Vector3 Within(Random random, in Solid solid)
    {
        if (solid.IsBox)
        {
            return solid.Pose.TransformPoint(solid.Half * Any(random, 1));
        }

        var off = Any(random, 1);
        return Vector3.Lerp(solid.A, solid.B, random.NextSingle()) + (off * (solid.Radius / MathF.Max(1, off.Length())));
    }
}
