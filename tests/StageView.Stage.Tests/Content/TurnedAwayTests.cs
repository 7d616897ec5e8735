using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;
using StageView.Stage.Content;

namespace StageView.Stage.Tests.Content;

/// <summary>Content that is thrown onto surfaces that turn, and its clock.</summary>
public sealed class TurnedAwayTests
{
    private static readonly ContentPlacement Over = new()
    {
        Name = "c", File = "c.png", FullPath = "/c.png", Corner = new(-1, 0, 1), Across = new(2, 0, 0), Down = new(0, 0, -2), Luminance = 1000,
    };

    // Red on the left, green on the right.
    private static readonly ContentImage Halves = ContentImage.FromSrgb(2, 1, [255, 0, 0, 0, 255, 0]);

    private static readonly PixelSurface Front = new()
    {
        Fixture = new FixtureIndex(0), Origin = new(-1, 6, 1), EdgeU = new(2, 0, 0), EdgeV = new(0, 0, -2), Columns = 2, Rows = 1, Fill = 1,
    };

    private static readonly PixelSurface Back = Front with { Origin = new(1, 6, 1), EdgeU = new(-2, 0, 0) };

    [Theory]
    [InlineData(FacingAway.Dark, "--", "--")]
    [InlineData(FacingAway.Mirrored, "GR", "--")]
    [InlineData(FacingAway.Hold, "RG", "--")]
    public void A_panel_that_is_turned_away_shows_what_was_asked(FacingAway away, string back, string beforeStart)
    {
        var late = Over with { FacingAway = away, Start = TimeSpan.FromSeconds(2) };
        Assert.Equal("RG", Shown(late, Front, 2));
        Assert.Equal(back, Shown(late, Back, 2));
        Assert.Equal(beforeStart, Shown(late, Back, 1.9));
    }

    [Fact]
    public void Edge_on_it_still_takes_what_falls_on_its_line()
    {
        var lying = Front with { Origin = new(-1, 6, 0), EdgeV = new(0, -2, 0) };
        Assert.Equal("RG", Shown(Over, lying, 0));
    }

    [Theory]
    [InlineData(0, 1, 0)]
    [InlineData(3, 1, 5)]
    [InlineData(3, .5, 3.5)]
    [InlineData(0, 4, 8)]
    public void Pace_and_offset_say_which_of_its_time_shows(double offset, double pace, double shown)
    {
        var asked = new List<double>();
        var placed = Over with { Start = TimeSpan.FromSeconds(1), Offset = TimeSpan.FromSeconds(offset), Pace = pace };
        new PlacedContent(placed, new Asked(asked)).ImageAt(TimeSpan.FromSeconds(shown == 0 ? 1 : offset == 3 && pace == .5 ? 2 : 3));
        Assert.Equal(shown, asked[0], 1e-6);
    }

    private static string Shown(ContentPlacement placement, PixelSurface surface, double at)
    {
        var rig = TestRig.Scene(TestRig.Hang(TestRig.Profile([], [])));
        var builder = new MomentBuilder();
        builder.Begin();
        builder.AddSurface(surface);
        new PlacedContent(placement, new Still(), PixelMap.Of(rig, placement, [Front])).Fill(builder, TimeSpan.FromSeconds(at));
        return string.Concat(builder.Build(TimeSpan.Zero).Pixels.ToArray().Select(Name));
    }

    private static string Name(Vector3 p) => p is { X: > 900, Y: < 1 } ? "R" : p is { X: < 1, Y: > 900 } ? "G" : p == Vector3.Zero ? "-" : "?";

    private sealed class Still : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => Halves;
    }

    private sealed class Asked(List<double> times) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat)
        {
            times.Add(sinceStart.TotalSeconds);
            return Halves;
        }
    }
}
