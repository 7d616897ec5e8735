using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Content;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Content;

/// <summary>Pixels of panels that turn and hang from winches, against the closed forms.</summary>
public sealed class PixelTrackTests
{
    private static readonly ContentPlacement Over = new()
    {
        Name = "c", File = "c.png", FullPath = "/c.png", Corner = new(2, 2, 0), Across = new(-4, 0, 0), Down = new(0, -4, 0), Luminance = 1000,
    };

    // A pixel at r from the axis on a face d off it lies, tilted by t, at r cos t - d sin t: geometry. The table is of an .8 m panel of 5 x 5 with d = 3 cm.
    [Theory]
    [InlineData(0, 0.0, 0.0)]
    [InlineData(30, .058, 29.0)]
    [InlineData(60, .19, 93.0)]
    [InlineData(90, .35, 175.0)]
    [InlineData(180, .64, 320.0)]
    [InlineData(-47, null, null)]
    public void A_tilted_panel(double degrees, double? table, double? milliseconds)
    {
        var rig = Scene(Panel());
        var map = PixelMap.Of(rig, Over, StageModel.SurfacesAtRest(rig));
        var tracker = new PixelTracker(map);
        var stage = new StageModel(rig);
        stage.Stand(new FixtureIndex(0), 1, degrees);
        var frame = tracker.Track(stage.SurfacesAt(TimeSpan.Zero));
        var (sin, cos) = Math.SinCos(degrees * Math.PI / 180);
        var largest = 0.0;
        for (var row = 0; row < 5; row++)
        {
            var r = .32 - (row * .16);
            // The face looks down, so that a turn about x lifts one half and the other way round for the other.
            var expected = Math.Abs((r * cos) - (.03 * sin) - r);
            largest = Math.Max(largest, expected);
            for (var column = 0; column < 5; column++)
            {
                var got = tracker.Displacements[(row * 5) + column];
                var other = Math.Abs((r * cos) + (.03 * sin) - r);
                Assert.True(Math.Min(Math.Abs(got - expected), Math.Abs(got - other)) < 1e-4, $"row {row}: {got} m, {expected} m");
            }
        }

        Assert.Equal(Math.Max(largest, Math.Abs((-.32 * cos) - (.03 * sin) + .32)), frame.Largest, 1e-4);
        Assert.Equal(frame.Largest / .16f, frame.Pitches, 1e-3f);
        if (table is { } metres)
        {
            Assert.Equal(metres, frame.Largest, 5e-3);
            Assert.Equal(milliseconds!.Value, frame.Largest / 2 * 1000, .6);
        }

        Assert.Equal(Math.Abs(degrees) > 90 ? 25 : 0, frame.Away);
    }

    // A ramp that rises by s a metre is wrong by s times the displacement.
    [Fact]
    public void A_ramp_is_wrong_by_its_slope_times_the_displacement()
    {
        var rig = Scene(Panel());
        var map = PixelMap.Of(rig, Over, StageModel.SurfacesAtRest(rig));
        var tracker = new PixelTracker(map);
        var stage = new StageModel(rig);
        stage.Stand(new FixtureIndex(0), 1, 40);
        var now = stage.SurfacesAt(TimeSpan.Zero).ToArray();
        tracker.Track(now);
        var ramp = ContentImage.FromSrgb(1, 256, Rising());
        var (there, still) = (new Vector3[25], new Vector3[25]);
        PixelTracker.Sample(map.Patches[0], now[0], ramp, FacingAway.Dark, there);
        PixelTracker.Sample(map.Patches[0], map.Patches[0].Rest, ramp, FacingAway.Dark, still);
        for (var i = 0; i < 25; i++)
        {
            Assert.Equal(tracker.Displacements[i] / 4, Math.Abs(there[i].X - still[i].X), 3e-3);
        }
    }

    // Turned about its own normal a pixel at (x, y) goes to x cos t - y sin t, and both of the panel's edges turn: a ramp across tells by how much.
    [Theory]
    [InlineData(30)]
    [InlineData(-75)]
    public void A_panel_that_spins_under_a_ramp_across(double degrees)
    {
        var rig = Scene(Panel(AxisMotion.TurnZ));
        var map = PixelMap.Of(rig, Over, StageModel.SurfacesAtRest(rig));
        var stage = new StageModel(rig);
        stage.Stand(new FixtureIndex(0), 1, degrees);
        var now = stage.SurfacesAt(TimeSpan.Zero).ToArray();
        var there = new Vector3[25];
        PixelTracker.Sample(map.Patches[0], now[0], ContentImage.FromSrgb(256, 1, Rising()), FacingAway.Dark, there);
        for (var i = 0; i < 25; i++)
        {
            Assert.Equal((2 - PixelTracker.PlaceOf(now[0], i % 5, i / 5).X) / 4, there[i].X, 3e-3f);
        }

        // And the places are the turned ones: the corner pixel is .32 m out both ways.
        var (sin, cos) = MathF.SinCos((float)degrees * MathF.PI / 180);
        var corners = new[] { PixelTracker.PlaceOf(now[0], 0, 0).X, PixelTracker.PlaceOf(now[0], 4, 0).X }.Select(MathF.Abs).Order().ToArray();
        float[] expected = [.. new[] { MathF.Abs(.32f * (cos - sin)), MathF.Abs(.32f * (cos + sin)) }.Order()];
        Assert.Equal(expected, corners, (a, b) => MathF.Abs(a - b) < 1e-4f);
    }

    // A carrier let down by 1.5 m, and the panel on it turned: what it carries goes with it.
    [Fact]
    public void A_panel_on_a_winch()
    {
        var winch = Hang(Profile(
            [
                new() { Index = 0, Name = "winch", Parent = -1, Pose = Pose.Identity },
                new() { Index = 1, Name = "hook", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TravelZ, 0, 0, 0) },
            ],
            [Channel(0, 1, [1], Function("XYZ_Z", 0, 255, 0, -6))]));
        var panel = Panel() with { Index = new FixtureIndex(1), Name = "panel", Carrier = new CarrierPart(new FixtureIndex(0), 1), Pose = Pose.Identity };
        var rig = Scene(winch, panel);
        var upright = Over with { Corner = new(-2, 0, 8), Across = new(4, 0, 0), Down = new(0, 0, -4) };
        var map = PixelMap.Of(rig, upright, StageModel.SurfacesAtRest(rig));
        var tracker = new PixelTracker(map);
        var stage = new StageModel(rig);
        stage.Stand(new FixtureIndex(0), 1, -1.5);
        var frame = tracker.Track(stage.SurfacesAt(TimeSpan.Zero));
        Assert.Equal(1.5f, frame.Largest, 1e-4f);
        Assert.Equal(1.5f, frame.Median, 1e-4f);
        stage.Stand(new FixtureIndex(1), 1, 90);
        // Turned up, a row at r stands r higher or lower, and the face 3 cm off the axis: seen from the front its height is all that counts.
        Assert.Equal(1.5f + .32f - .03f, tracker.Track(stage.SurfacesAt(TimeSpan.Zero)).Largest, 1e-4f);
    }

    [Theory]
    [InlineData("3 1 2", 1, 2)]
    [InlineData("5", 0, 5)]
    [InlineData("2 2 2 9 1 1", 3, 2)]
    public void The_nth_smallest(string values, int n, float expected)
    {
        float[] all = [.. values.Split(' ').Select(float.Parse)];
        Assert.Equal(expected, Nth.Smallest(all, n));
    }

    /// <summary>256 grey steps, even in light and not in code values, by the levels that are nearest (IEC 61966-2-1).</summary>
    private static byte[] Rising()
    {
        var rgb = new byte[3 * 256];
        for (var i = 0; i < 256; i++)
        {
            var l = i / 255.0;
            rgb.AsSpan(i * 3, 3).Fill((byte)Math.Round(255 * (l <= .0031308 ? 12.92 * l : (1.055 * Math.Pow(l, 1 / 2.4)) - .055)));
        }

        return rgb;
    }

    /// <summary>Looks down from 6 m; the axis in the middle, the face 3 cm below it.</summary>
    private static Fixture Panel(AxisMotion motion = AxisMotion.TurnX) => Hang(Profile(
        [
            new() { Index = 0, Name = "yoke", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "panel", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(motion, 0, 0, 0) },
            new()
            {
                Index = 2, Name = "face", Parent = 1, Pose = Pose.At(0, 0, -.03f),
                Pixels = new PixelGridData { Columns = 5, Rows = 5, Width = .8f, Height = .8f, PeakLuminance = 1000 },
            },
        ],
        [Channel(0, 1, [1, 2], Function(motion == AxisMotion.TurnZ ? "Pan" : "Tilt", 0, 65535, -190, 190)) with { Default = 32768 }]),
        address: 10);
}
