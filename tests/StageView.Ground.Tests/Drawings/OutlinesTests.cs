using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Ground.Tests.Drawings;

public sealed class OutlinesTests
{
    [Fact]
    public void The_hull_holds_every_point_and_has_only_corners()
    {
        var random = new Random(5);
        var points = Enumerable.Range(0, 300).Select(_ => new Vector2(random.NextSingle(), random.NextSingle()) * 10).ToList();
        Vector2[] corners = [new(-1, -1), new(11, -1), new(11, 11), new(-1, 11)];
        var hull = Outlines.Hull(points.Concat(corners).Append(new(5, -1)));
        Assert.Equal(corners.ToHashSet(), hull.ToHashSet());
        Assert.Equal(4, hull.Length);

        // The shoelace formula: 12 by 12.
        Assert.Equal(144, Math.Abs(Area(hull)), .001);
    }

    [Fact]
    public void A_loop_within_a_loop_is_its_hollow_and_what_lies_in_the_hollow_stands_alone()
    {
        var nested = Outlines.Nested([Square(0, 10), Square(2, 6), Square(3, 1), Square(20, 4)]);
        Assert.Equal([Square(0, 10), Square(3, 1), Square(20, 4)], nested.Select(n => n.Outer));
        Assert.Equal([1, 0, 0], nested.Select(n => n.Holes.Length));
        Assert.Equal(Square(2, 6), nested[0].Holes[0]);
    }

    [Theory]
    [InlineData(2, 2, 8, 8, 36)]
    [InlineData(-5, -5, 5, 5, 25)]
    [InlineData(-5, 3, 15, 4, 10)]
    [InlineData(-5, -5, 15, 15, 100)]
    [InlineData(11, 11, 15, 15, 0)]
    public void What_is_cut_is_what_lies_within_the_rectangle(float lowX, float lowY, float highX, float highY, float area) =>
        Assert.Equal(area, Math.Abs(Area(Outlines.Cut(Square(0, 10), new(lowX, lowY), new(highX, highY)))), .001);

    private static Vector2[] Square(float at, float side) => [new(at, at), new(at + side, at), new(at + side, at + side), new(at, at + side)];

    private static float Area(Vector2[] p) =>
        Enumerable.Range(0, p.Length).Sum(i => (p[i].X * p[(i + 1) % p.Length].Y) - (p[(i + 1) % p.Length].X * p[i].Y)) / 2;
}
