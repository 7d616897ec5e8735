using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Colour;
using StageView.Stage.Looks;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Looks;

public sealed class LookTests
{
    private static readonly RigScene Rig = Scene(
        Rgbw(0) with { Name = "left", Number = "101", Groups = ["spots"] },
        Rgbw(1) with { Name = "right", Number = "102", Groups = ["spots"], Pose = Pose.At(3, 0, 6) });

    [Fact]
    public void Physical_units_by_group_number_and_name()
    {
        var stage = Play("""
            {
              // A look by hand
              "points": { "singer": [0, 2, 1.6] },
              "set": [
                { "fixtures": "spots", "dimmer": "50%", "pan": "30deg", "tilt": -20 },
                { "fixtures": "102", "aim": "singer" },
                { "fixtures": "101-102", "zoom": [10, 20], },
              ],
            }
            """);
        Assert.Equal(30, stage.Attribute("Pan").Target, .01);
        Assert.Equal(-20, stage.Attribute("Tilt").Target, .01);
        Assert.Equal(.5, stage.Attribute("Dimmer").Target, .002);
        Assert.Equal(10, stage.Attribute("Zoom").Target, .15);
        Assert.Equal(20, stage.Attribute("Zoom", fixture: 1).Target, .15);
        var aimed = stage.StateOf(1, TimeSpan.Zero).Emitters[0];
        var along = Vector3.Dot(new Vector3(0, 2, 1.6f) - aimed.Position, aimed.Direction);
        Assert.True(Vector3.Distance(aimed.Position + (along * aimed.Direction), new Vector3(0, 2, 1.6f)) < .002f);
    }

    /// <summary>#ff8800 decoded by IEC 61966-2-1: linear 1, .2462, 0, which BT.709's matrix puts at these chromaticities; Kang's locus for 3200 K.</summary>
    [Theory]
    [InlineData("\"#ff8800\"", .5336, .4145)]
    [InlineData("\"3200K\"", .42318, .39908)]
    [InlineData("[0.3127, 0.3290]", .3127, .3290)]
    public void Colours_are_met_by_the_emitters(string colour, float x, float y)
    {
        var stage = Play($$"""{ "set": [ { "fixtures": "all", "dimmer": 1, "colour": {{colour}} } ] }""");
        var c = stage.StateOf(0, TimeSpan.Zero).Emitters[0].Chromaticity;
        Assert.Equal(x, c.X, .006f);
        Assert.Equal(y, c.Y, .006f);
    }

    [Fact]
    public void White_uses_all_the_light_there_is()
    {
        var flux = Play("""{ "set": [ { "fixtures": "all", "dimmer": 1, "colour": [0.3127, 0.3290] } ] }""").StateOf(0, TimeSpan.Zero).Emitters[0].FluxLumens;
        Assert.True(flux > 8500, $"{flux} lm of 10000");
    }

    [Theory]
    [InlineData("{ \"fixtures\": \"nobody\", \"dimmer\": 1 }", "$.set[0].fixtures",
        "no fixture, number or group is called 'nobody'; the rig's groups are spots")]
    [InlineData("{ \"fixtures\": \"spots\", \"tilt\": 200 }", "$.set[0].tilt", "left: Tilt goes from -130 to 130, not to 200")]
    [InlineData("{ \"fixtures\": \"spots\", \"pan\": \"far\" }", "$.set[0].pan", "is not a number with a unit")]
    [InlineData("{ \"fixtures\": \"spotz\", \"dimmer\": 1 }", "$.set[0].fixtures", "did you mean \"spots\"")]
    [InlineData("{ \"fixtures\": \"spots\", \"dimer\": 1 }", "$.set[0].dimer", "did you mean \"dimmer\"")]
    [InlineData("{ \"fixtures\": \"spots\", \"sparkle\": 1 }", "$.set[0].sparkle", "\"sparkle\" is no key of an entry and no attribute")]
    [InlineData("{ \"fixtures\": \"spots\", \"colour\": \"teal\" }", "$.set[0].colour", "is not a colour")]
    [InlineData("{ \"fixtures\": \"spots\", \"aim\": \"moon\" }", "$.set[0].aim", "no point named \"moon\"")]
    [InlineData("{ \"fixtures\": \"spots\", \"aim\": [1, 2] }", "$.set[0].aim", "is not a point")]
    [InlineData("{ \"dimmer\": 1 }", "$.set[0]", "an entry needs \"fixtures\"")]
    public void Mistakes_are_named(string entry, string path, string message)
    {
        var problems = new List<RigProblem>();
        LookFile.Read(Rig, $$"""{ "set": [ {{entry}} ] }""", problems);
        Assert.Equal(path, problems[0].Path);
        Assert.Contains(message, problems[0].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{ \"set\": [ ", "$")]
    [InlineData("[]", "$")]
    [InlineData("{ \"set\": 3 }", "$.set")]
    public void Files_that_are_no_looks(string json, string path)
    {
        var problems = new List<RigProblem>();
        LookFile.Read(Rig, json, problems);
        Assert.Equal(path, problems[0].Path);
    }

    [Fact]
    public void A_look_of_very_many_settings_stops_at_a_bound()
    {
        // Two fixtures and six keys: the 8334th entry is past 100,000.
        var entry = "{ \"fixtures\": \"spots\", \"note\": \"\", \"dimmer\": 1, \"pan\": 1, \"tilt\": 1, \"zoom\": 9 }";
        var problems = new List<RigProblem>();
        LookFile.Read(Rig, $"{{ \"set\": [{string.Join(",\n", Enumerable.Repeat(entry, 10_000))}] }}", problems, out var sets);
        var problem = Assert.Single(problems);
        Assert.Equal((8334, "$.set[8333]"), (problem.Line, problem.Path));
        Assert.Contains("more than 100000 settings of fixtures", problem.Text, StringComparison.Ordinal);
        Assert.Equal(8333 * 2 * 4, sets);
    }

    [Fact]
    public void Flags_meet_a_colour_as_near_as_they_can()
    {
        var head = Head(
            Channel(3, 3, [7], Function("ColorSub_C", 0, 255, 0, 1)), Channel(4, 3, [8], Function("ColorSub_M", 0, 255, 0, 1)),
            Channel(5, 3, [9], Function("ColorSub_Y", 0, 255, 0, 1)));
        var rig = Scene(head);
        var problems = new List<RigProblem>();
        var levels = LookFile.Read(rig, """{ "set": [ { "fixtures": "all", "dimmer": 1, "colour": "#ffb060" } ] }""", problems);
        Assert.Empty(problems);
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        var c = stage.StateOf(0, TimeSpan.Zero).Emitters[0].Chromaticity;
        Assert.True(ColourWanted.TryParse("#ffb060", out var wanted));
        Assert.True(Vector2.Distance(c, new Vector2(wanted.X, wanted.Y)) < .02f, $"{c} for {wanted}");
    }

    private static StageModel Play(string json)
    {
        var problems = new List<RigProblem>();
        var levels = LookFile.Read(Rig, json, problems);
        Assert.Empty(problems);
        var stage = new StageModel(Rig);
        levels.SendTo(stage, TimeSpan.Zero);
        return stage;
    }

    internal static Fixture Rgbw(int index)
    {
        Emitter[] emitters = [new("Red", .690f, .308f, .18f), new("Green", .170f, .720f, .36f), new("Blue", .140f, .045f, .05f),
            new("White", .3127f, .3290f, .41f)];
        string[] names = ["ColorAdd_R", "ColorAdd_G", "ColorAdd_B", "ColorAdd_W"];
        DmxChannel[] colour = [.. names.Select((n, i) => Channel(3 + i, 3, [7 + (2 * i), 8 + (2 * i)], Function(n, 0, 65535, 0, 1) with { Emitter = i }))];
        return Hang(Profile(HeadNodes(), HeadChannels([.. colour, Channel(7, 3, [15], Function("Zoom", 0, 255, 5, 55))]), emitters: emitters), index, 1,
            1 + (20 * index));
    }
}
