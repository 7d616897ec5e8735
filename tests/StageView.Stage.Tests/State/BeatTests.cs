using System.Numerics;
using StageView.Rig.Profiles;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.State;

/// <summary>Irises and frosts that beat, wheels that choose at random, and the strobe modes (DIN SPEC 15800:2022-02, annex A).</summary>
public sealed class BeatTests
{
    private static readonly Wheel Colours = new("Colours", [new("Open", Vector3.One), new("Half", new(.5f)), new("Fifth", new(.2f)), new("Tenth", new(.1f))]);

    private static StageModel Head1(ChannelFunction f, int level = 255) => With(
        Scene(Hang(Profile(HeadNodes(), HeadChannels(Channel(3, 3, [7], f)), [Colours]))), TestRig.Levels((5, 255), (6, 255), (7, level)));

    private static float Iris(StageModel stage, double t)
    {
        var b = stage.StateOf(0, TimeSpan.FromSeconds(t)).Emitters[0];
        return b.BeamDegrees / 25;
    }

    /// <summary>1 Hz: openings at an eighth, three eighths, five and seven eighths of the period, by hand.</summary>
    [Theory]
    [InlineData("IrisStrobe", 1, 1, .05, .05)]
    [InlineData("IrisPulse", .25, .75, .75, .25)]
    [InlineData("IrisPulseOpen", .125, .375, .625, .875)]
    [InlineData("IrisPulseClose", .875, .625, .375, .125)]
    public void An_iris_beats(string attribute, double a, double b, double c, double d)
    {
        var stage = Head1(Function(attribute, 0, 255, 0, 1));
        double[] openings = [a, b, c, d];
        for (var i = 0; i < 4; i++)
        {
            Assert.Equal(openings[i], Iris(stage, 2 + .125 + (i * .25)), .002);
        }

        Assert.Equal(1, Iris(Head1(Function(attribute, 0, 255, 0, 1), 0), 2.7), .001);
    }

    [Theory]
    [InlineData("IrisStrobeRandom")]
    [InlineData("IrisRandomPulse")]
    [InlineData("IrisRandomPulseOpen")]
    [InlineData("IrisRandomPulseClose")]
    public void A_random_iris_opens_once_a_period_at_its_own_place(string attribute)
    {
        var stage = Head1(Function(attribute, 0, 255, 0, 1) with { Duty = (.2f, .2f) });
        static int Opens(StageModel stage, int k) => Enumerable.Range(0, 100).First(i => Iris(stage, k + (i / 100.0) + .005) > .06);
        var places = Enumerable.Range(0, 12).Select(k => Opens(stage, k)).ToList();
        Assert.True(places.Distinct().Count() > 6, string.Join(' ', places));
        Assert.True(places.TrueForAll(p => p <= 81));
        Assert.Equal(places[5], Opens(Head1(Function(attribute, 0, 255, 0, 1) with { Duty = (.2f, .2f) }), 5));
    }

    [Fact]
    public void An_iris_that_beats_stays_as_open_as_it_is_said_to() =>
        Assert.Equal(.4f, Iris(Head1(Function("IrisStrobe", 0, 255, 0, 1) with { LeastOpening = (.4f, .4f) }), 2.8), .001f);

    [Theory]
    [InlineData("Frost1Ramp", .5, 1, 0)]
    [InlineData("Frost1PulseClose", .25, .5, 0)]
    [InlineData("Frost1PulseOpen", .75, .5, 1)]
    public void A_frost_beats(string attribute, double quarter, double half, double whole)
    {
        var stage = Head1(Function(attribute, 0, 255, 0, 1));
        Assert.Equal(quarter, Frost(2.25), .001);
        Assert.Equal(half, Frost(2.5), .001);
        Assert.Equal(whole, Frost(3), .001);
        float Frost(double t) => stage.MomentAt(TimeSpan.FromSeconds(t)).Beams.Span[0].Frost;
    }

    /// <summary>Two slots a second, drawn from the show's time alone: all come, and a second run draws the same.</summary>
    [Fact]
    public void A_wheel_chooses_at_random()
    {
        var f = Function("Color1WheelRandom", 0, 255, 0, 2) with { Wheel = 0 };
        var (one, two) = (Head1(f), Head1(f));
        var drawn = Enumerable.Range(0, 60).Select(i => Lumens(one, (i * .5) + .1)).ToList();
        Assert.Equal([1000, 2000, 5000, 10_000], drawn.Distinct().Order());
        Assert.True(drawn.GroupBy(d => d).All(g => g.Count() >= 5));
        foreach (var i in (int[])[59, 3, 31, 4])
        {
            Assert.Equal(drawn[i], Lumens(two, (i * .5) + .4));
        }

        Assert.Equal(10_000, Lumens(Head1(f, 0), 3.2));
        Assert.Contains("chance", one.Attribute("Color1WheelRandom").Note, StringComparison.Ordinal);
        static int Lumens(StageModel stage, double t) => (int)MathF.Round(stage.MomentAt(TimeSpan.FromSeconds(t)).Beams.Span[0].FluxLumens);
    }

    [Theory]
    [InlineData("StrobeModePulseOpen", .375f)]
    [InlineData("StrobeModePulseClose", .625f)]
    [InlineData("StrobeModeEffect", 1)]
    public void Strobe_modes_by_their_wave(string attribute, float openness)
    {
        var stage = With(Scene(Head(Channel(3, 3, [7], Function(attribute, 0, 255, 0, 1)), Channel(4, 3, [8], Function("StrobeFrequency", 0, 255, 0, 1)))),
            TestRig.Levels((5, 255), (6, 255), (7, 200), (8, 255)));
        Assert.Equal(10_000 * openness, stage.MomentAt(TimeSpan.FromSeconds(4.375)).Beams.Span[0].FluxLumens, 30f);
    }

    /// <summary>Mean light over whole periods: a random ramp of duty d gives d/2, however long the exposures.</summary>
    [Theory]
    [InlineData("Shutter1StrobeRandomPulseOpen")]
    [InlineData("Shutter1StrobeRandomPulseClose")]
    public void Random_ramps_keep_their_light(string attribute)
    {
        var stage = Head1(Function(attribute, 0, 255, 0, 2) with { Duty = (.3f, .3f) });
        foreach (var rate in (int[])[24, 50])
        {
            var sum = Enumerable.Range(1, rate * 4).Sum(i => stage.MomentAt(TimeSpan.FromSeconds(i / (double)rate), TimeSpan.FromSeconds(1.0 / rate)) is var m
                && m.Beams.Length > 0 ? m.Beams.Span[0].FluxLumens / rate : 0);
            Assert.Equal(4 * 1500, sum, 15.0);
        }

        // An exposure within a flash sees the mean of its instants.
        foreach (var t in (double[])[.21, .35, .7, 1.13])
        {
            var mean = Enumerable.Range(0, 2000).Average(i => stage.StateOf(0, TimeSpan.FromSeconds(t - .06 + ((i + .5) * .06 / 2000))).Emitters[0].Intensity);
            Assert.Equal(mean, stage.StateOf(0, TimeSpan.FromSeconds(t), TimeSpan.FromSeconds(.06)).Emitters[0].Intensity, .002f);
        }

        // The ramps run one way: the flash of a rising one is brightest at its end.
        var levels = Enumerable.Range(0, 1000).Select(i => stage.StateOf(0, TimeSpan.FromSeconds(i * .0005)).Emitters[0].Intensity).ToList();
        var (first, last) = (levels.FindIndex(l => l > 0), levels.FindLastIndex(l => l > 0));
        Assert.Equal(attribute.EndsWith("Open", StringComparison.Ordinal), levels[last] > levels[first]);
    }
}
