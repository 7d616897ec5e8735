using System.Numerics;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.State;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>Colour macros (DIN SPEC 15800:2022-02, annex A, ColorMacro): what the file says of them is shown, the rest is said to be unknown.</summary>
public sealed class MacroTests
{
    private static readonly string[] Names = ["No function", "Red", "3200K", "Rainbow", "Blackout"];

    private static readonly Wheel Virtual = new("Virtual", [new("Open", Vector3.One), new("Sea", new(.1f, .4f, .5f))]);

    private static ChannelFunction Macro(int wheel = -1) => Function("ColorMacro1", 0, 255, 0, 1) with
    {
        Wheel = wheel,
        Sets = [.. Names.Select((n, i) => new ChannelSet(n, (uint)(i * 50), i == 4 ? 255u : (uint)((i * 50) + 49), 0, 1, wheel >= 0 && i < 2 ? i + 1 : 0))],
    };

    private static DmxChannel[] Mix(string[] colours, int wheel = -1) =>
    [
        .. colours.Select((n, i) => Channel(i, 3, [i + 1], Function(n, 0, 255, 0, 1))),
        Channel(colours.Length, 3, [7], Macro(wheel)),
    ];

    private static readonly string[] Rgb = ["ColorAdd_R", "ColorAdd_G", "ColorAdd_B"];
    private static readonly string[] Flags = ["ColorSub_C", "ColorSub_M", "ColorSub_Y"];

    private static EmitterReport Lens(DmxChannel[] channels, params (int, int)[] levels) =>
        With(Scene(Hang(Profile(HeadNodes(), channels, [Virtual]))), TestRig.Levels(levels)).StateOf(0, TimeSpan.Zero).Emitters[0];

    /// <summary>BT.709's red at .640, .330 with .2126 of white; 3200 K on the Planckian locus (CIE 15: x .4234, y .3990).</summary>
    [Theory]
    [InlineData(60, .640f, .330f, .2126f)]
    [InlineData(120, .4234f, .3990f, -1)]
    [InlineData(10, 0, 0, 0)]
    [InlineData(220, 0, 0, 0)]
    public void A_name_that_is_a_colour_is_mixed_by_the_emitters_as_bright_as_they_can(int level, float x, float y, float share)
    {
        var lens = Lens(Mix(Rgb), (7, level));
        Assert.True(share < 0 ? lens.FluxLumens is > 5000 and < 10_000 : MathF.Abs(lens.FluxLumens - (10_000 * share)) < 10, lens.FluxLumens.ToString());
        Assert.True(x == 0 || Vector2.Distance(new(x, y), lens.Chromaticity) < .002f, lens.Chromaticity.ToString());
    }

    [Fact]
    public void What_no_file_says_leaves_the_mix_alone_and_is_told()
    {
        Assert.Equal(10_000, Lens(Mix(Rgb), (1, 255), (2, 255), (3, 255), (7, 170)).FluxLumens, 5f);
        var stage = With(Scene(Hang(Profile(HeadNodes(), Mix(Rgb)))), TestRig.Levels((7, 170)));
        var told = stage.Attribute("ColorMacro1");
        Assert.False(told.IsSimulated);
        Assert.Equal("the file does not say what \"Rainbow\" looks like", told.WhyNot);
        var red = With(Scene(Hang(Profile(HeadNodes(), Mix(Rgb)))), TestRig.Levels((7, 60))).Attribute("ColorMacro1");
        Assert.True(red.IsSimulated);
        Assert.StartsWith("the colour that its name says", red.Note, StringComparison.Ordinal);
    }

    [Fact]
    public void A_macro_goes_before_the_mix_and_gives_it_back()
    {
        Assert.Equal(2126, Lens(Mix(Rgb), (2, 255), (7, 60)).FluxLumens, 10f);
        Assert.Equal(7152, Lens(Mix(Rgb), (2, 255), (7, 0)).FluxLumens, 10f);
    }

    [Fact]
    public void White_as_the_first_of_its_colours_leaves_the_mix_alone()
    {
        var f = Function("ColorMacro1", 0, 255, 0, 1) with
        {
            Sets = [new("White", 0, 99, 0, 1, 0), new("Red", 100, 199, 0, 1, 0), new("White", 200, 255, 0, 1, 0)],
        };
        DmxChannel[] channels = [.. Mix(Rgb).Take(3), Channel(3, 3, [7], f)];
        Assert.Equal(7152, Lens(channels, (2, 255), (7, 20)).FluxLumens, 10f);
        Assert.Equal(2126, Lens(channels, (2, 255), (7, 120)).FluxLumens, 10f);
        Assert.Equal(10_000, Lens(channels, (2, 255), (7, 220)).FluxLumens, 10f);
    }

    /// <summary>A macro that is linked to a wheel shows its slot.</summary>
    [Fact]
    public void A_linked_wheel_says_the_colour()
    {
        var y = (.2126f * .1f) + (.7152f * .4f) + (.0722f * .5f);
        Assert.Equal(10_000 * y, Lens(Mix(Rgb, 0), (7, 60)).FluxLumens, 10f);
        Assert.Equal(7152, Lens(Mix(Rgb, 0), (2, 255), (7, 10)).FluxLumens, 10f);
    }

    [Fact]
    public void Flags_come_as_near_as_they_can()
    {
        var channels = Mix(Flags);
        var rig = Scene(Hang(Profile(HeadNodes(), channels)));
        var encoder = new LevelsEncoder(rig);
        Assert.True(ColourWanted.TryParse("#ff0000", out var red));
        Assert.True(encoder.TrySetColour(rig.Fixtures[0], red, out _));
        var own = Lens(channels, (1, encoder.LevelsOf(0)[0]), (2, encoder.LevelsOf(0)[1]), (3, encoder.LevelsOf(0)[2]));
        var macro = Lens(channels, (7, 60));
        Assert.True(Vector2.Distance(own.Chromaticity, macro.Chromaticity) < .01f, macro.Chromaticity.ToString());
        Assert.InRange(macro.FluxLumens / own.FluxLumens, .95f, 1.05f);
    }

    /// <summary>Lit by its macro alone, a head that travels is late.</summary>
    [Fact]
    public void A_move_under_a_macro_is_lit()
    {
        var nodes = HeadNodes(pan: new AxisData(AxisMotion.TurnZ, 90, 0, 0));
        DmxChannel[] mix = [.. HeadChannels(), .. Rgb.Select((n, i) => Channel(3 + i, 3, [11 + i], Function(n, 0, 255, 0, 1))), Channel(6, 3, [7], Macro())];
        var stage = new StageModel(Scene(Hang(Profile(nodes, mix))));
        stage.OnLevels(Universe(1), TimeSpan.Zero, TestRig.Levels((1, 128), (3, 200), (5, 255), (7, 60)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 192), (3, 200), (5, 255), (7, 60)));
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(9), TestRig.Levels((1, 192), (3, 200), (5, 255), (7, 60)));
        Assert.True(Assert.Single(stage.FindMoves()).IsLit);
    }
}
