using System.Numerics;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Programs;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>What `check` calls simulated is what the light is made of; DIN SPEC 15800:2022-02, annex A.</summary>
public sealed class AttributeCatalogTests
{
    [Fact]
    public void What_check_says_is_simulated_is()
    {
        foreach (var name in AttributeCatalog.Names.Select(n => n.Replace("(n)", "1", StringComparison.Ordinal)))
        {
            Assert.True(AttributeCatalog.IsSimulated(name) == (AttributeNames.Read(name, out _) != AttributeOp.NotSimulated), name);
        }
    }

    [Theory]
    [InlineData("ColorRGB_Quality", "control channel")]
    [InlineData("ColorEffects1", "inside the fixture")]
    [InlineData("Effects1", "inside the fixture")]
    [InlineData("Effects1Rate", "inside the fixture")]
    [InlineData("PositionEffect", "inside the fixture")]
    [InlineData("Prism1Macro", "inside the fixture")]
    [InlineData("ColorMacro1Rate", "inside the fixture")]
    [InlineData("Video", "media servers")]
    [InlineData("MediaContent1", "media servers")]
    [InlineData("Gobo1WheelAudio", "sound")]
    [InlineData("Color1WheelAudio", "sound")]
    [InlineData("Control1", "control channel")]
    [InlineData("LampControl", "control channel")]
    [InlineData("FixtureGlobalReset", "control channel")]
    [InlineData("Gobo1WheelMode", "control channel")]
    [InlineData("Fan1", "control channel")]
    [InlineData("Haze1", "fog machines")]
    [InlineData("Wobble", "no attribute that StageView knows")]
    public void What_is_not_simulated_is_told_with_its_reason(string name, string why)
    {
        Assert.False(AttributeCatalog.IsSimulated(name));
        Assert.Equal(AttributeOp.NotSimulated, AttributeNames.Read(name, out _));
        Assert.Contains(why, WhyNotSimulated.Of(name), StringComparison.Ordinal);
        var told = With(Scene(Head(Channel(3, 0, [7], Function(name, 0, 255, 0, 1)))), TestRig.Levels((7, 9))).Attribute(name);
        Assert.Equal((false, WhyNotSimulated.Of(name)), (told.IsSimulated, told.WhyNot));
    }

    /// <summary>A look's colour reaches fixtures that mix indirectly by cyan, magenta and yellow: BT.709's primaries, and a colour of all three.</summary>
    [Theory]
    [InlineData("#ff0000", .640f, .330f)]
    [InlineData("#0000ff", .150f, .060f)]
    [InlineData("#ff8800", .5337f, .4145f)]
    [InlineData("3200K", .4234f, .3990f)]
    public void A_look_sets_indirect_cyan_magenta_and_yellow(string colour, float x, float y)
    {
        string[] names = ["Cyan", "Magenta", "Yellow"];
        var rig = Scene(Hang(Profile(HeadNodes(), [.. names.Select((n, i) => Channel(i, 3, [i + 1], Function("ColorRGB_" + n, 0, 255, 0, 1)))])));
        var encoder = new LevelsEncoder(rig);
        Assert.True(ColourWanted.TryParse(colour, out var wanted));
        Assert.True(encoder.TrySetColour(rig.Fixtures[0], wanted, out var why), why);
        var lens = With(rig, encoder.LevelsOf(0).ToArray()).StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.True(Vector2.Distance(new(x, y), lens.Chromaticity) < .006f, lens.Chromaticity.ToString());
    }

    /// <summary>Indirect cyan, magenta and yellow take away what red, green and blue would give; both primaries of ITU-R BT.709.</summary>
    [Theory]
    [InlineData(0, 0, 0, .3127f, .3290f, 1)]
    [InlineData(0, 255, 255, .640f, .330f, .2126f)]
    [InlineData(255, 0, 255, .300f, .600f, .7152f)]
    [InlineData(255, 255, 0, .150f, .060f, .0722f)]
    [InlineData(255, 255, 255, 0, 0, 0)]
    [InlineData(51, 51, 51, .3127f, .3290f, .8f)]
    public void Indirect_cyan_magenta_and_yellow_mix_the_other_way_round(int cyan, int magenta, int yellow, float x, float y, float share)
    {
        string[] names = ["Cyan", "Magenta", "Yellow"];
        var lens = With(
            Scene(Hang(Profile(HeadNodes(), [.. names.Select((n, i) => Channel(i, 3, [i + 1], Function("ColorRGB_" + n, 0, 255, 0, 1)))]))),
            TestRig.Levels((1, cyan), (2, magenta), (3, yellow))).StateOf(0, TimeSpan.Zero).Emitters[0];
        Assert.Equal(10_000 * share, lens.FluxLumens, 10f);
        Assert.True(share == 0 || Vector2.Distance(new(x, y), lens.Chromaticity) < .002f, lens.Chromaticity.ToString());
    }
}
