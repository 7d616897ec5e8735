using System.Numerics;
using StageView.Rig.Profiles;
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
    [InlineData("ColorRGB_Quality")]
    [InlineData("ColorMacro1")]
    [InlineData("ColorEffects1")]
    [InlineData("Effects1")]
    [InlineData("Video")]
    public void What_is_not_simulated_is_told(string name)
    {
        Assert.False(AttributeCatalog.IsSimulated(name));
        Assert.Equal(AttributeOp.NotSimulated, AttributeNames.Read(name, out _));
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
