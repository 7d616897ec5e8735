using StageView.Rig.Profiles;
using static StageView.Rig.Tests.Gdtf.ArchiveMaker;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>
/// Channels that fixture files use beside colour, place and intensity (DIN SPEC 15800:2022-02, annex A and Attribute, PhysicalUnit): what is read of them, and
/// what is told of what the file doesn't say.
/// </summary>
public sealed class UsedChannelsTests
{
    private const string Base = "<Geometry Name=\"Base\"><Beam Name=\"Lens\" BeamAngle=\"14\" FieldAngle=\"16\"/></Geometry>";

    private static FixtureProfile Profile(string channels, string more = "") => GdtfReading.Good(Description(Base, channels, more));

    private static string Sets(string attribute, params string[] names) =>
        $"<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel Attribute=\"{attribute}\"><ChannelFunction Name=\"F\" Attribute=\"{attribute}\">"
        + string.Concat(names.Select((n, i) => $"<ChannelSet Name=\"{n}\" DMXFrom=\"{i * 20}/1\"/>")) + "</ChannelFunction></LogicalChannel></DMXChannel>";

    [Fact]
    public void The_unit_of_a_speed_is_the_files_own()
    {
        const string attributes = "<AttributeDefinitions><Attributes><Attribute Name=\"PositionMSpeed\" PhysicalUnit=\"Time\"/>"
            + "<Attribute Name=\"ZoomMSpeed\" PhysicalUnit=\"None\"/></Attributes></AttributeDefinitions>";
        var functions = Profile(Channel("Base", "PositionMSpeed", "1", "0", "25") + Channel("Lens", "ZoomMSpeed", "2", "0", "25"), attributes)
            .Modes[0].Channels.Select(c => c.Functions[0].StatedUnit);
        Assert.Equal(["Time", ""], functions);
    }

    /// <summary>A speed whose range was left and whose default is its lower end would stop the head: full speed lies there.</summary>
    [Theory]
    [InlineData("", "", "", 1, 0, "hardly moves at its default")]
    [InlineData("Default=\"255/1\"", "", "", 0, 1, null)]
    [InlineData("Default=\"255/1\"", "Fast", "Slow", 1, 0, "run from fast to slow")]
    [InlineData("", "Minimum", "Maximum", 0, 1, null)]
    public void A_speed_left_at_0_to_1(string byDefault, string first, string last, float from, float to, string? says)
    {
        var sets = first.Length == 0 ? "" : $"<ChannelSet Name=\"{first}\" DMXFrom=\"0/1\"/><ChannelSet Name=\"{last}\" DMXFrom=\"200/1\"/>";
        var p = Profile("<DMXChannel Offset=\"1\" Geometry=\"Base\"><LogicalChannel Attribute=\"PositionMSpeed\"><ChannelFunction Name=\"Speed\" "
            + $"Attribute=\"PositionMSpeed\" {byDefault}>{sets}</ChannelFunction></LogicalChannel></DMXChannel>");
        var f = p.Modes[0].Channels[0].Functions[0];
        Assert.Equal((from, to), (f.PhysicalFrom, f.PhysicalTo));
        Assert.Equal(says is not null, p.NotUnderstood.Any(n => n.Contains(says ?? "PositionMSpeed", StringComparison.Ordinal)));
    }

    [Fact]
    public void Sets_that_say_no_colour_are_told()
    {
        var notes = Profile(Sets("ColorMacro1", "Open", "Red", "Light Blue", "3200K", "#20ff80", "Rainbow", "Sunset", "Blackout", "No function")).NotUnderstood;
        Assert.Equal("ColorMacro1, function F: what these look like is not in the file: \"Rainbow\", \"Sunset\"", Assert.Single(notes));
        notes = Profile(Sets("DimmerCurve", "Linear", "S-Curve", "Studio")).NotUnderstood;
        Assert.Equal("DimmerCurve, function F: no dimmer curve that is known by these names: \"Studio\"", Assert.Single(notes));
    }

    [Theory]
    [InlineData("ColorMacro1", "0", "1", "ColorMacro1, function ColorMacro1 1: its values have no names, so what they do is not known")]
    [InlineData("ZoomMSpeed", "20", "2", "ZoomMSpeed of channel Lens_ZoomMSpeed, function ZoomMSpeed 1: its range of 20 to 2 has no unit; full speed is taken")]
    public void What_is_not_in_the_file_is_told(string attribute, string from, string to, string says) =>
        Assert.Equal(says, Assert.Single(Profile(Channel("Lens", attribute, "1", from, to)).NotUnderstood));

    [Theory]
    [InlineData("Effects1", "attribute Effects1: not simulated: its content is made inside the fixture, no file says what it looks like")]
    [InlineData("Gobo1WheelAudio", "attribute Gobo1WheelAudio: not simulated: it follows sound, and StageView hears none")]
    [InlineData("LampControl", "attribute LampControl: not simulated: a control channel: it sets how the fixture runs")]
    public void Why_an_attribute_is_not_simulated(string attribute, string says) =>
        Assert.Contains(says, Profile(Channel("Lens", attribute, "1")).NotUnderstood);

    [Fact]
    public void Macros_are_played_by_the_console()
    {
        var p = GdtfReading.Good(Description(Base, Channel("Lens", "Dimmer", "1"), "",
            "<FTMacros><FTMacro Name=\"Lamp on\"><MacroDMX><MacroDMXStep><MacroDMXValue Value=\"255/1\" DMXChannel=\"Lens_Dimmer\"/></MacroDMXStep></MacroDMX>"
            + "</FTMacro></FTMacros>"));
        Assert.Contains(p.NotUnderstood, n => n.StartsWith("macros (line", StringComparison.Ordinal)
            && n.EndsWith("sends what they do", StringComparison.Ordinal));
    }

    /// <summary>Duty cycle, duration and least opening of an iris that beats (table of sub physical units), in percent or as shares.</summary>
    [Theory]
    [InlineData("0.25", .25f)]
    [InlineData("25", .25f)]
    public void An_iris_that_beats(string least, float share)
    {
        var p = Profile("<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel Attribute=\"IrisPulseClose\"><ChannelFunction Name=\"F\" "
            + "Attribute=\"IrisPulseClose\" PhysicalFrom=\"0.2\" PhysicalTo=\"4\"><SubChannelSet SubPhysicalUnit=\"IrisPulseClose.MinimumOpening\" "
            + $"PhysicalFrom=\"{least}\" PhysicalTo=\"{least}\"/><SubChannelSet SubPhysicalUnit=\"IrisPulseClose.DutyCycle\" PhysicalFrom=\"0.3\" "
            + "PhysicalTo=\"0.3\"/></ChannelFunction></LogicalChannel></DMXChannel>");
        var f = p.Modes[0].Channels[0].Functions[0];
        Assert.Equal(((share, share), (.3f, .3f)), (f.LeastOpening!.Value, f.Duty!.Value));
        Assert.Empty(p.NotUnderstood);
    }
}
