using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Looks;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Looks;

/// <summary>A look dims and colours by whatever a fixture has; what one can't do stops none of the others.</summary>
public sealed class VirtualDimmerTests
{
    private static readonly Emitter[] Emitters = [new("Red", .690f, .308f, .2f), new("Green", .170f, .720f, .6f), new("Blue", .140f, .045f, .2f)];

    [Fact]
    public void Colours_are_scaled_where_there_is_no_dimmer_and_stay_so_when_set_anew()
    {
        var rig = Scene(Mixer(0));
        var half = Light(rig, "{ \"fixtures\": \"all\", \"dimmer\": 0.5, \"colour\": \"#ff0000\" }");
        var full = Light(rig, "{ \"fixtures\": \"all\", \"colour\": \"#ff0000\", \"dimmer\": 1 }");
        Assert.True(full.FluxLumens > 100, $"{full.FluxLumens} lm");
        Assert.Equal(.5, half.FluxLumens / full.FluxLumens, .01);
        Assert.Equal(full.Chromaticity.X, half.Chromaticity.X, .02f);
        var again = Light(rig, "{ \"fixtures\": \"all\", \"dimmer\": 0.25 }, { \"fixtures\": \"all\", \"colour\": \"#ff0000\" }");
        Assert.Equal(.25, again.FluxLumens / full.FluxLumens, .01);
        Assert.Equal(0, Light(rig, "{ \"fixtures\": \"all\", \"colour\": \"#ff0000\" }, { \"fixtures\": \"all\", \"dimmer\": 0 }").FluxLumens);
    }

    [Fact]
    public void Dark_colours_become_white_under_a_dimmer() =>
        Assert.Equal(.3127f, Light(Scene(Mixer(0)), "{ \"fixtures\": \"all\", \"dimmer\": 1 }").Chromaticity.X, .02f);

    [Fact]
    public void What_one_fixture_cannot_do_is_said_with_its_line_and_the_others_do_it()
    {
        var rig = Scene(Mixer(0) with { Name = "wash" }, Mute(1) with { Name = "fan" }, Mixer(2) with { Name = "wash 2" });
        var problems = new List<RigProblem>();
        const string json = "{ \"set\": [\n { \"fixtures\": \"all\",\n \"dimmer\": 1, \"colour\": \"#00ff00\" } ] }";
        var levels = LookFile.Read(rig, json, problems, out var sets, "my.look.jsonc");
        Assert.Equal(4, sets);
        Assert.All(problems, p => Assert.Equal(ProblemSeverity.Warning, p.Severity));
        Assert.Equal("my.look.jsonc:3: $.set[0].dimmer: warning: fan: has nothing that dims", problems[0].ToString());
        Assert.Equal("my.look.jsonc:3: $.set[0].colour: warning: fan: has nothing that makes a colour", problems[1].ToString());
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        Assert.True(stage.StateOf(2, TimeSpan.Zero).Emitters[0].FluxLumens > 100);
    }

    /// <summary>Hue and saturation of #ff8800: 32 degrees in HSV of sRGB's own values, 14.8 of linear light (by hand: 60 × .2462).</summary>
    [Fact]
    public void Hue_and_saturation_make_a_colour()
    {
        var rig = Scene(Head(Channel(3, 3, [7], Function("HSB_Hue", 0, 255, 0, 360)), Channel(4, 3, [8], Function("HSB_Saturation", 0, 255, 0, 1))));
        var stage = Played(rig, "{ \"fixtures\": \"all\", \"dimmer\": 1, \"colour\": \"#ff8800\" }");
        Assert.Equal(14.77, stage.Attribute("HSB_Hue").Target, 1.5);
        Assert.Equal(1, stage.Attribute("HSB_Saturation").Target, .01);
    }

    [Fact]
    public void A_macro_whose_slots_are_colours_takes_the_nearest()
    {
        ChannelSet[] sets = [new("Off", 0, 9, 0, 0, 0), new("Deep Red", 10, 19, 0, 0, 0), new("Blue 2", 20, 29, 0, 0, 0), new("Rainbow", 30, 255, 0, 0, 0)];
        var rig = Scene(Head(Channel(3, 3, [7], Function("ColorMacro1", 0, 255, 0, 1) with { Sets = sets })));
        var levels = LookFile.Read(rig, "{ \"set\": [ { \"fixtures\": \"all\", \"colour\": \"#2040ff\" } ] }", []);
        Assert.Equal(24u, levels.RawOf(rig.Fixtures[0], rig.Fixtures[0].Mode.Channels[3]));
    }

    [Theory]
    [InlineData("Red", "#ff0000")]
    [InlineData("light blue", "#0000ff")]
    [InlineData("Warm White", "3200K")]
    [InlineData("#123456", "#123456")]
    public void Names_of_slots_are_colours(string name, string colour)
    {
        Assert.True(NamedColours.TryRead(name, out var read));
        Assert.True(ColourWanted.TryParse(colour, out var same));
        Assert.Equal(same, read);
        Assert.False(NamedColours.TryRead("Rainbow fast", out _));
    }

    /// <summary>A drawing has fixtures before it has addresses.</summary>
    [Fact]
    public void A_fixture_without_an_address_is_lit_by_a_look_and_takes_no_ones_place()
    {
        var rig = Scene(Mixer(0) with { Name = "hung", Patch = [] }, Mixer(1) with { Name = "patched" });
        var stage = Played(rig, "{ \"fixtures\": \"hung\", \"dimmer\": 0.5, \"colour\": \"#ff0000\" }");
        Assert.True(stage.StateOf(new(0), TimeSpan.Zero).Emitters[0].FluxLumens > 50);
        Assert.Equal(0, stage.StateOf(new(1), TimeSpan.Zero).Emitters[0].FluxLumens);
        Assert.All(stage.StateOf(new(0), TimeSpan.Zero).Attributes, a => Assert.Empty(a.Addresses));
        Assert.Equal(new LevelsEncoder(Scene(Mixer(1) with { Index = new(0) })).Universes, new LevelsEncoder(rig).Universes);
    }

    private static EmitterLook Light(RigScene rig, string entries)
    {
        var e = Played(rig, entries).StateOf(new(0), TimeSpan.Zero).Emitters[0];
        return new EmitterLook(e.FluxLumens, e.Chromaticity);
    }

    private static StageModel Played(RigScene rig, string entries)
    {
        var problems = new List<RigProblem>();
        var levels = LookFile.Read(rig, $"{{ \"set\": [ {entries} ] }}", problems);
        Assert.Empty(problems);
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        return stage;
    }

    /// <summary>Red, green and blue, and no dimmer.</summary>
    private static Fixture Mixer(int index)
    {
        string[] names = ["ColorAdd_R", "ColorAdd_G", "ColorAdd_B"];
        DmxChannel[] channels = [.. names.Select((n, i) => Channel(i, 3, [1 + i], Function(n, 0, 255, 0, 1) with { Emitter = i }))];
        return Hang(Profile(HeadNodes(), channels, emitters: Emitters), index, 1, 1 + (20 * index));
    }

    /// <summary>Pan alone.</summary>
    private static Fixture Mute(int index) => Hang(Profile(HeadNodes(), [Channel(0, 1, [1], Function("Pan", 0, 255, -90, 90))]), index, 1, 1 + (20 * index));

    private sealed record EmitterLook(float FluxLumens, Vector2 Chromaticity);
}
