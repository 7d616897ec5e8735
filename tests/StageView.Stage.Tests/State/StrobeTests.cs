using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.State;

public sealed class StrobeTests
{
    private static RigScene Rig(string attribute = "Shutter1Strobe", float from = .5f, float to = 20) =>
        Scene(Head(
            Channel(3, 3, [7], Function("Shutter1", 0, 9, 0, 0), Function(attribute, 10, 249, from, to), Function("Shutter1", 250, 255, 1, 1)),
            Channel(4, 3, [8], Function("StrobeDuration", 0, 255, 0, .51f))));

    [Theory]
    [InlineData(0, 0f)]
    [InlineData(9, 0f)]
    [InlineData(250, 1f)]
    [InlineData(255, 1f)]
    public void Shut_and_open(int level, float share)
    {
        var m = With(Rig(), TestRig.Levels((5, 255), (6, 255), (7, level))).MomentAt(TimeSpan.FromSeconds(.4));
        Assert.Equal(share * 10_000, m.Beams.Length == 0 ? 0 : m.Beams.Span[0].FluxLumens, .1f);
    }

    /// <summary>Light summed over a second is the same at any frame rate, and half of open for a wave that is half shut.</summary>
    [Theory]
    [InlineData("Shutter1Strobe")]
    [InlineData("Shutter1StrobePulse")]
    [InlineData("Shutter1StrobePulseOpen")]
    [InlineData("Shutter1StrobePulseClose")]
    [InlineData("Shutter1StrobeRandom")]
    public void Ten_hertz_gives_the_same_light_at_24_and_60_frames_a_second(string attribute)
    {
        var stage = With(Rig(attribute, 10, 10), TestRig.Levels((5, 255), (6, 255), (7, 100)));
        foreach (var rate in new[] { 24, 25, 30, 60 })
        {
            // Fully open shutter: each frame exposes for the whole of its time.
            var sum = 0.0;
            for (var i = 1; i <= 2 * rate; i++)
            {
                var m = stage.MomentAt(TimeSpan.FromSeconds(i / (double)rate), TimeSpan.FromSeconds(1.0 / rate));
                sum += (m.Beams.Length == 0 ? 0 : m.Beams.Span[0].FluxLumens) / rate;
            }

            Assert.Equal(10_000, sum, 12.0);
        }
    }

    [Fact]
    public void An_exposure_reaches_back_over_a_change_of_levels()
    {
        // Dark until 1 s, full from then on: 20 ms open that end 5 ms after the change see a quarter.
        var stage = With(Scene(Head()), TestRig.Levels());
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((5, 255), (6, 255)));
        var m = stage.MomentAt(TimeSpan.FromSeconds(1.005), TimeSpan.FromMilliseconds(20));
        Assert.Equal(2500, m.Beams.Span[0].FluxLumens, .5f);
    }

    [Fact]
    public void A_chase_made_of_levels_keeps_its_light_too()
    {
        // The console flickers the dimmer itself at 20 Hz: 25 ms on, 25 ms off.
        var stage = new StageModel(Scene(Head()));
        for (var i = 0; i < 80; i++)
        {
            stage.OnLevels(Universe(1), TimeSpan.FromMilliseconds(25 * i), (i & 1) == 0 ? TestRig.Levels((5, 255), (6, 255)) : TestRig.Levels());
        }

        var sum = 0.0;
        for (var i = 1; i <= 24; i++)
        {
            var m = stage.MomentAt(TimeSpan.FromSeconds(.5 + (i / 24.0)), TimeSpan.FromSeconds(1 / 24.0));
            sum += (m.Beams.Length == 0 ? 0 : m.Beams.Span[0].FluxLumens) / 24;
        }

        Assert.Equal(5000, sum, 5.0);
    }

    [Fact]
    public void The_flash_lasts_as_long_as_it_is_told()
    {
        // 10 Hz with flashes of 20 ms: a fifth of the light.
        var stage = With(Rig("Shutter1Strobe", 10, 10), TestRig.Levels((5, 255), (6, 255), (7, 100), (8, 10)));
        var m = stage.MomentAt(TimeSpan.FromSeconds(3), TimeSpan.FromSeconds(1));
        Assert.Equal(2000, m.Beams.Span[0].FluxLumens, 2f);
    }

    [Fact]
    public void Random_flashes_are_the_same_every_time_and_differ_between_fixtures()
    {
        var head = Rig("Shutter1StrobeRandom", 5, 5).Fixtures[0];
        var rig = Scene(head, head with { Index = new FixtureIndex(1), Name = "other" });
        var a = Pattern();
        Assert.Equal(a, Pattern());
        Assert.NotEqual(a[0], a[1]);
        string[] Pattern()
        {
            var stage = With(rig, TestRig.Levels((5, 255), (6, 255), (7, 100)));
            var text = new[] { "", "" };
            for (var i = 0; i < 100; i++)
            {
                for (var f = 0; f < 2; f++)
                {
                    text[f] += stage.StateOf(f, TimeSpan.FromMilliseconds(20 * i)).Emitters[0].Intensity > 0 ? "1" : "0";
                }
            }

            return text;
        }
    }
}
