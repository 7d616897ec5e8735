using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>
/// Dimmer curves that are chosen by a channel (DIN SPEC 15800:2022-02, annex A, DimmerCurve): x, x², √x, 3x² - 2x³ and xⁿ, by the names that the
/// trade gives them (common practice, no source).
/// </summary>
public sealed class DimmerCurveTests
{
    private static readonly string[] Names = ["Linear", "Square law", "Inverse square law", "S-Curve", "Gamma 2.2", "Studio"];

    private static DmxChannel[] Channels(ResponseCurve own = ResponseCurve.Linear) =>
    [
        Channel(0, 3, [1], Function("Dimmer", 0, 255, 0, 1) with { Curve = own }),
        Channel(1, 0, [2], Function("DimmerCurve", 0, 255, 0, 1) with
        {
            Sets = [.. Names.Select((n, i) => new ChannelSet(n, (uint)(40 * i), (uint)((40 * i) + 39), 0, 1, 0))],
        }),
    ];

    [Theory]
    [InlineData(0, .2f)]
    [InlineData(1, .04f)]
    [InlineData(2, .44721f)]
    [InlineData(3, .104f)]
    [InlineData(4, .028991f)]
    [InlineData(5, .2f)]
    public void A_fifth_along_each_curve_and_back(int curve, float share)
    {
        var rig = Scene(Hang(Profile(HeadNodes(), Channels())));
        var stage = With(rig, TestRig.Levels((1, 51), (2, (40 * curve) + 5)));
        Assert.Equal(10_000 * share, stage.StateOf(0, TimeSpan.Zero).Emitters[0].FluxLumens, 1f);
        var told = stage.Attribute("DimmerCurve");
        Assert.Equal(curve < 5, told.IsSimulated);
        Assert.True(curve < 5 ? told.Note.StartsWith("output = ", StringComparison.Ordinal) : told.WhyNot.Contains("\"Studio\"", StringComparison.Ordinal));

        var encoder = new LevelsEncoder(rig);
        Assert.True(encoder.TrySetSlot(rig.Fixtures[0], "DimmerCurve", Names[curve], out var why), why);
        Assert.True(encoder.TrySet(rig.Fixtures[0], "Dimmer", share, out why), why);
        Assert.Equal(51, encoder.LevelsOf(0)[0]);
    }

    /// <summary>A response that the file states goes before a name.</summary>
    [Fact]
    public void A_response_of_the_file_stays()
    {
        var stage = With(Scene(Hang(Profile(HeadNodes(), Channels(ResponseCurve.Square)))), TestRig.Levels((1, 51), (2, 45)));
        Assert.Equal(400, stage.StateOf(0, TimeSpan.Zero).Emitters[0].FluxLumens, 1f);
        Assert.EndsWith("no dimmer here follows it", stage.Attribute("DimmerCurve").Note, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("square", "output = input²")]
    [InlineData("Quadratic", "output = input²")]
    [InlineData("Inv. square law", "output = √input")]
    [InlineData("S-law", "output = 3 input² - 2 input³")]
    [InlineData("LINEAR (default)", "output = input")]
    [InlineData("gamma 1.5", "output = input^1.5")]
    [InlineData("Logarithmic", null)]
    [InlineData("Halogen", null)]
    [InlineData("Non-linear", null)]
    [InlineData("", null)]
    public void Names_that_are_known(string name, string? says) => Assert.Equal(says, DimmerResponse.Read(name)?.ToString());
}
