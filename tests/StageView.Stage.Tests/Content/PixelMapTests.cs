using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Content;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Content;

/// <summary>Fixed maps from pixels to places in a picture, against the closed forms.</summary>
public sealed class PixelMapTests
{
    private const float Width = 1.2f;
    private const float Step = 6.9f;

    // Eleven facets of 1.2 m, each 6.9 degrees from the next: the ends stand at 34.5 degrees to the picture.
    private static readonly List<PixelSurface> Arc = MakeArc(11);

    // Along the wall each column is 1 / (facets x columns) of the picture, whatever its angle.
    [Fact]
    public void Along_the_curve_columns_are_equally_wide()
    {
        var map = Of(PixelMapKind.Curve, Arc);
        Assert.Equal(11, map.Patches.Count);
        for (var f = 0; f < 11; f++)
        {
            Assert.Equal(f / 11f, map.Patches[f].Corner.X, 1e-5f);
            Assert.Equal(1 / 11f, map.Patches[f].Right.X, 1e-5f);
            Assert.Equal(0, map.Patches[f].Corner.Y, 1e-5f);
            Assert.Equal(1, map.Patches[f].Down.Y, 1e-5f);
        }
    }

    // Thrown flat a column's width goes with the cosine of its angle: 18 % narrower at 34.5 degrees.
    [Fact]
    public void Thrown_flat_columns_narrow_by_the_cosine()
    {
        var plan = Plan(PixelMapKind.Flat, Arc) with { Corner = new(-6, 0, 5), Across = new(12, 0, 0), Down = new(0, 0, -4) };
        var map = PixelMap.Of(Rig(Arc.Count), plan, Arc);
        for (var f = 0; f < 11; f++)
        {
            Assert.Equal(Width / 12 * MathF.Cos(Angles.Radians(Step * (f - 5))), map.Patches[f].Right.X, 1e-5f);
        }

        Assert.Equal(.18f, 1 - (map.Patches[0].Right.X / map.Patches[5].Right.X), .005f);
        Assert.Equal(.18f, 1 - (map.Patches[10].Right.X / map.Patches[5].Right.X), .005f);
    }

    [Fact]
    public void The_order_in_which_facets_are_listed_and_how_they_hang_does_not_change_a_curve()
    {
        var random = new Random(4);
        var shuffled = Arc.OrderBy(_ => random.Next()).Select((s, i) => Hung(s, i % 3) with { Fixture = new FixtureIndex(i) }).ToList();
        var map = Of(PixelMapKind.Curve, shuffled);
        foreach (var patch in map.Patches)
        {
            // The middle of each facet lies where it stands along the run.
            var middle = patch.Rest.Origin + ((patch.Rest.EdgeU + patch.Rest.EdgeV) / 2);
            var f = Arc.FindIndex(s => Vector3.Distance(s.Origin + ((s.EdgeU + s.EdgeV) / 2), middle) < 1e-3f);
            var got = patch.Corner + ((patch.Right + patch.Down) / 2);
            Assert.Equal((f + .5f) / 11, got.X, 1e-4f);
            Assert.Equal(.5f, got.Y, 1e-4f);
        }
    }

    [Fact]
    public void Facets_above_each_other_and_gaps_have_their_place()
    {
        List<PixelSurface> wall =
        [
            Facet(0, new(-2, 5, 4), new(1, 0, 0), new(0, 0, -1)), Facet(1, new(-2, 5, 3), new(1, 0, 0), new(0, 0, -1)),
            Facet(2, new(1, 5, 4), new(1, 0, 0), new(0, 0, -1)), Facet(3, new(1, 5, 3), new(1, 0, 0), new(0, 0, -1)),
        ];
        var map = Of(PixelMapKind.Curve, wall);
        Assert.Equal([new(0, 0), new(0, .5f), new(.75f, 0), new(.75f, .5f)], map.Patches.Select(p => Rounded(p.Corner)));
        Assert.All(map.Patches, p => Assert.Equal((.25f, .5f), (p.Right.X, p.Down.Y)));
    }

    // Cells by hand, as a 3 x 2 grid is counted; a facet turned by 90 degrees clockwise has its top left where the picture's bottom left is.
    [Theory]
    [InlineData(PixelPath.Rows, 0, false, "00 10 20 01 11 21", "0 0")]
    [InlineData(PixelPath.RowsSerpentine, 0, false, "00 10 20 21 11 01", "0 0")]
    [InlineData(PixelPath.Columns, 1, false, "00 01 10 11 20 21", "0 1")]
    [InlineData(PixelPath.ColumnsSerpentine, 2, false, "00 01 11 10 20 21", "1 1")]
    [InlineData(PixelPath.Rows, 0, true, "00 10 20 01 11 21", "1 0")]
    [InlineData(PixelPath.Rows, 3, false, "00 10 20 01 11 21", "1 0")]
    public void Facet_by_facet_in_rows_and_columns(PixelPath order, int turns, bool mirrored, string cells, string corner)
    {
        var plan = Plan(PixelMapKind.Grid, Arc[..6]) with { Columns = 3, Rows = 2, Order = order, QuarterTurns = turns, Mirrored = mirrored };
        var map = PixelMap.Of(Rig(6), plan, Arc[..6]);
        Assert.Equal(cells, string.Join(' ', map.Patches.Select(p =>
        {
            var middle = p.Corner + ((p.Right + p.Down) / 2);
            return $"{(int)(middle.X * 3)}{(int)(middle.Y * 2)}";
        })));
        var local = Rounded((map.Patches[0].Corner * new Vector2(3, 2)) + Vector2.Zero);
        Assert.Equal(corner, $"{local.X:0} {local.Y:0}");
    }

    [Fact]
    public void By_hand_each_pixel_lies_where_the_table_says()
    {
        var fixture = Levels.PixelTests.Wall(3, 2, "RGB", 1, splits: true, PixelPath.RowsSerpentine);
        var rig = Scene(fixture);
        var plan = new PixelMapPlan
        {
            Name = "m", Kind = PixelMapKind.ByHand, Fixtures = [new FixtureIndex(0)],
            ByHand = [.. Enumerable.Range(1, 6).Select(n => new PixelMapRow("fixture 1", "", n, n / 10f, n / 20f, .1f, .1f, ""))],
        };
        var patch = Assert.Single(PixelMap.Of(rig, plan, StageModel.SurfacesAtRest(rig)).Patches);
        // The fourth along a serpentine wire is the right end of the second row.
        Assert.Equal(new Vector2(.4f, .2f), patch.MiddleOf(2, 1));
        Assert.Equal(new Vector2(.6f, .3f), patch.MiddleOf(0, 1));
    }

    // Whatever is turned under mapped content, its pixels keep what they had at rest; thrown content follows.
    [Fact]
    public void Content_over_a_map_stays_with_the_pixels()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "yoke", Parent = -1, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnZ, 0, 0, 0) },
            new()
            {
                Index = 1, Name = "face", Parent = 0, Pose = Pose.Identity,
                Pixels = new() { Columns = 2, Rows = 1, Width = 1, Height = 1, PeakLuminance = 1000 },
            },
        ];
        var rig = Scene(Hang(Profile(nodes, [Channel(0, 0, [1], Function("Pan", 0, 255, -270, 270))])));
        var halves = ContentImage.FromSrgb(2, 1, [255, 0, 0, 0, 255, 0]);
        var over = new ContentPlacement
        {
            Name = "c", File = "c.png", FullPath = "/c.png", Corner = new(.5f, .5f, 0), Across = new(-1, 0, 0), Down = new(0, -1, 0), Luminance = 1000,
        };
        var map = PixelMap.Of(rig, over, StageModel.SurfacesAtRest(rig));
        var stage = new StageModel(rig);
        stage.Stand(new FixtureIndex(0), 0, 180);
        stage.Content = [new PlacedContent(over with { Map = "m" }, new Still(halves), map)];
        Assert.True(stage.MomentAt(TimeSpan.Zero).Pixels.Span[0].X > 999);
        stage.Content = [new PlacedContent(over, new Still(halves))];
        Assert.True(stage.MomentAt(TimeSpan.Zero).Pixels.Span[0].Y > 999);
    }

    private static List<PixelSurface> MakeArc(int count)
    {
        var facets = new List<PixelSurface>();
        var at = new Vector3(0, 6, 4);
        for (var i = 0; i < count; i++)
        {
            // Concave towards the house: the left end comes forward.
            var angle = Angles.Radians(Step * ((count / 2) - i));
            var edge = new Vector3(MathF.Cos(angle), MathF.Sin(angle), 0) * Width;
            facets.Add(Facet(i, at, edge, new(0, 0, -2)));
            at += edge;
        }

        return facets;
    }

    /// <summary>The same place, hung upside down or on its side.</summary>
    private static PixelSurface Hung(PixelSurface s, int how) => how switch
    {
        1 => s with { Origin = s.Origin + s.EdgeU + s.EdgeV, EdgeU = -s.EdgeU, EdgeV = -s.EdgeV },
        2 => s with { Origin = s.Origin + s.EdgeU, EdgeU = s.EdgeV, EdgeV = -s.EdgeU },
        _ => s,
    };

    private static PixelSurface Facet(int fixture, Vector3 origin, Vector3 u, Vector3 v) => new()
    {
        Fixture = new FixtureIndex(fixture), Origin = origin, EdgeU = u, EdgeV = v, Columns = 10, Rows = 17, Fill = 1,
    };

    private static PixelMapPlan Plan(PixelMapKind kind, List<PixelSurface> surfaces) => new()
    {
        Name = "m", Kind = kind, Fixtures = [.. surfaces.Select(s => s.Fixture).Order()],
    };

    private static PixelMap Of(PixelMapKind kind, List<PixelSurface> surfaces) => PixelMap.Of(Rig(surfaces.Count), Plan(kind, surfaces), surfaces);

    private static RigScene Rig(int fixtures) => Scene([.. Enumerable.Range(0, fixtures).Select(i => Hang(Profile([], []), i))]);

    private static Vector2 Rounded(Vector2 v) => new(MathF.Round(v.X, 4), MathF.Round(v.Y, 4));

    private sealed class Still(ContentImage image) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => image;
    }
}
