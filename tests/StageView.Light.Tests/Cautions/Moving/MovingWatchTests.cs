using System.Numerics;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;

namespace StageView.Light.Tests.Cautions.Moving;

public sealed class MovingWatchTests
{
    private static readonly WatchedVolume Stalls = new("stalls", false, Pose.At(0, -8, 1), new Vector3(10, 6, 2));

    private static MovingWatch Watch(params MovingPiece[] pieces) => new(pieces, [Stalls]);

    private static Solid Cube(Vector3 at, float side = 1) => Solid.Box(Pose.At(at.X, at.Y, at.Z), new Vector3(side));

    [Fact]
    public void Two_pieces_that_pass_each_other_have_their_least_clearance_then()
    {
        var watch = Watch(new("a"), new("b"));
        for (var k = 0; k <= 100; k++)
        {
            var t = k * 0.1;
            // a rises at .5 m/s, b sinks at .5 m/s, 1.3 m apart on plan: least clearance .3 while they are level.
            watch.Add(t, [Cube(new Vector3(0, 5, (float)(0.5 * t))), Cube(new Vector3(1.3f, 5, (float)(5 - (0.5 * t))))]);
        }

        var pair = Assert.Single(watch.TooClose);
        Assert.Equal(0.3f, pair.Least.Metres, 1e-4f);
        Assert.Equal(1, pair.MetresPerSecond, 1e-3f);
        Assert.InRange(pair.Seconds, 3.9, 6.1);
        Assert.Equal(0.25f, pair.CouldBeMetres, 1e-3f);
        Assert.Equal(0.5f, watch.Fastest(0).MetresPerSecond, 1e-3f);
        Assert.Empty(watch.Passes);
    }

    [Fact]
    public void Pieces_that_stand_still_or_hang_together_are_not_compared()
    {
        var still = Watch(new("a"), new("b"));
        var together = Watch(new("truss", 1), new("lamp on it", 1), new("post"));
        for (var k = 0; k < 20; k++)
        {
            still.Add(k, [Cube(Vector3.Zero), Cube(new Vector3(1.1f, 0, 0))]);
            together.Add(k, [Cube(new Vector3(0, 0, k)), Cube(new Vector3(0.5f, 0, k)), Cube(new Vector3(40, 0, 0))]);
        }

        Assert.Empty(still.Clearances);
        Assert.Empty(together.TooClose);
        Assert.Equal([(0, 2), (1, 2)], together.Clearances.Select(c => (c.First, c.Second)).Order());
    }

    [Fact]
    public void A_piece_that_is_lowered_over_the_house()
    {
        var watch = Watch(new MovingPiece("ring"), new MovingPiece("curtain"));
        for (var k = 0; k <= 40; k++)
        {
            // From 9 m down to 5 m over the stalls; the curtain moves 20 m away.
            watch.Add(k * 0.25, [Cube(new Vector3(2, -7, 9 - (k * 0.1f))), Cube(new Vector3(0, 20, 5 + (k * 0.1f)))]);
        }

        var pass = Assert.Single(watch.Passes);
        Assert.Equal((0, 0, true), (pass.Piece, pass.Volume, pass.IsOver));
        // Its bottom ends at 4.5 m, the stalls' top is at 2.
        Assert.Equal(2.5f, pass.Least.Metres, 1e-4f);
        Assert.Equal(10, pass.Seconds, 1e-6);
        Assert.Equal(0.4f, pass.MetresPerSecond, 1e-3f);
    }

    [Fact]
    public void A_head_that_turns_near_the_house_and_one_that_enters()
    {
        var watch = Watch(new("boom"), new("dolly"));
        for (var k = 0; k <= 90; k++)
        {
            var turn = Pose.FromDegrees(new Vector3(0, -4.2f, 1), new Vector3(0, 0, k));
            watch.Add(k * 0.1, [Solid.Box(turn, new Vector3(1.2f, 0.2f, 0.2f)),
                Solid.Capsule(new Vector3(9 - (k * 0.1f), -8, 0.5f), new Vector3(9 - (k * 0.1f), -8, 1), 0.2f)]);
        }

        Assert.Equal(2, watch.Passes.Count);
        var boom = watch.Passes.Single(p => p.Piece == 0);
        // Its corners reach √(.6² + .1²) = .608 m, to y = -4.808: .192 m from the stalls at y = -5. They move at .608 m · (π/180)/.1 s.
        Assert.False(boom.IsOver);
        Assert.Equal(0.8f - MathF.Sqrt(0.37f), boom.Least.Metres, 1e-3f);
        Assert.Equal(0.608f * MathF.PI / 18, boom.MetresPerSecond, 2e-3f);
        Assert.Equal(0, watch.Passes.Single(p => p.Piece == 1).Least.Metres);
    }

    [Fact]
    public void Bad_input_is_refused()
    {
        var watch = new MovingWatch([new MovingPiece("a")], [], new CautionLimits { ClearanceMetres = 1 });
        watch.Add(1, [Cube(Vector3.Zero)]);
        Assert.Throws<ArgumentException>(() => watch.Add(1, [Cube(Vector3.Zero)]));
        Assert.Throws<ArgumentException>(() => watch.Add(2, []));
    }
}
