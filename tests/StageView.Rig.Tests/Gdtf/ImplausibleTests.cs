using StageView.Light.Geometry;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;
using static StageView.Rig.Tests.Gdtf.ArchiveMaker;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>
/// Values of GDTF files that can't be meant (DIN SPEC 15800:2022-02, Channel Function: PhysicalFrom 0 and PhysicalTo 1 where nothing is said; attributes and
/// units of annex A): told, with what is taken instead.
/// </summary>
public sealed class ImplausibleTests
{
    private const string Head = "<Geometry Name=\"Base\"><Axis Name=\"Yoke\"><Axis Name=\"Head\">"
        + "<Beam Name=\"Lens\" BeamAngle=\"14\" FieldAngle=\"16\"/></Axis></Axis></Geometry>";

    private static (ChannelFunction Function, IReadOnlyList<string> Notes) One(string attribute, string from, string to, string more = "")
    {
        var p = GdtfReading.Good(Description(Head, Channel("Lens", attribute, "1", from, to, more)));
        return (p.Modes[0].Channels[0].Functions[0], p.NotUnderstood);
    }

    /// <summary>What was left at 0 to 1 and is an angle, a speed or a frequency.</summary>
    [Theory]
    [InlineData("Zoom", 14, 14)]
    [InlineData("Pan", -270, 270)]
    [InlineData("Tilt", -135, 135)]
    [InlineData("Gobo1Pos", 0, 360)]
    [InlineData("Prism2Pos", 0, 360)]
    [InlineData("HSB_Hue", 0, 360)]
    [InlineData("Gobo2PosRotate", 0, 180)]
    [InlineData("PanRotate", 0, 90)]
    [InlineData("Blade2Rot", -30, 30)]
    [InlineData("ShaperRot", -45, 45)]
    [InlineData("Color1WheelSpin", 0, 180)]
    [InlineData("Shutter1Strobe", 1, 15)]
    public void A_range_left_at_0_to_1_is_told_and_replaced(string attribute, float from, float to)
    {
        foreach (var (a, b) in ((string, string)[])[("0", "1"), ("", "")])
        {
            var (f, notes) = One(attribute, a, b);
            Assert.Equal((from, to), (f.PhysicalFrom, f.PhysicalTo));
            Assert.Contains(notes, n => n.StartsWith($"{attribute} of channel Lens_{attribute}", StringComparison.Ordinal)
                && n.Contains("was left at 0 to 1", StringComparison.Ordinal));
        }

        var (other, silent) = One(attribute, "0", "2");
        Assert.Equal((0, 2f), (other.PhysicalFrom, other.PhysicalTo));
        Assert.Empty(silent);
    }

    /// <summary>A share that goes to 100 or 255 instead of 1; sets go with it.</summary>
    [Theory]
    [InlineData("Dimmer", 100)]
    [InlineData("Dimmer", 255)]
    [InlineData("ColorAdd_R", 100)]
    [InlineData("ColorSub_C", 255)]
    [InlineData("ColorRGB_Cyan", 100)]
    [InlineData("Frost1", 100)]
    [InlineData("HSB_Saturation", 100)]
    public void A_share_beyond_1_is_told_and_scaled(string attribute, float most)
    {
        var (f, notes) = One(attribute, "0", $"{most}");
        Assert.Equal((0, 1f), (f.PhysicalFrom, f.PhysicalTo));
        Assert.Contains(notes, n => n.Contains($"goes to {most}, but is a share of 0 to 1; {most} is taken as full", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("Zoom", "0", "0", 14, 14, "is no angle; the beam's own 14 deg are taken")]
    [InlineData("Zoom", "10", "255", 10, 179, "goes to 255 deg; at most 179 deg are taken")]
    [InlineData("Dimmer", "0", "0", 0, 1, "never rises above 0; 0 to 1 is taken")]
    public void Other_ranges_that_can_not_be_meant(string attribute, string from, string to, float taken, float end, string says)
    {
        var (f, notes) = One(attribute, from, to);
        Assert.Equal((taken, end), (f.PhysicalFrom, f.PhysicalTo));
        Assert.Contains(notes, n => n.Contains(says, StringComparison.Ordinal));
    }

    /// <summary>An iris whose default would close it runs the other way round; one that says so, or stands open, is left.</summary>
    [Theory]
    [InlineData("0", "1", "0/1", 1, 0)]
    [InlineData("0", "1", "255/1", 0, 1)]
    [InlineData("0.1", "1", "0/1", .1f, 1)]
    [InlineData("1", "0", "0/1", 1, 0)]
    public void An_iris_stands_open_at_its_default(string from, string to, string byDefault, float taken, float end)
    {
        var (f, notes) = One("Iris", from, to, $"Default=\"{byDefault}\"");
        Assert.Equal((taken, end), (f.PhysicalFrom, f.PhysicalTo));
        Assert.Equal((from, to) == ("0", "1") && taken == 1, notes.Any(n => n.Contains("stands open at its default", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_shutter_without_ranges_is_read_by_the_names_of_its_stretches()
    {
        var f = GdtfReading.Good(Description(Head, """
            <DMXChannel Offset="1" Geometry="Lens"><LogicalChannel Attribute="Shutter1"><ChannelFunction Name="Shutter" Attribute="Shutter1">
              <ChannelSet Name="Open" DMXFrom="0/1"/><ChannelSet Name="Closed" DMXFrom="20/1"/><ChannelSet Name="Shutter open" DMXFrom="40/1"/>
              </ChannelFunction>
              <ChannelFunction Name="Strobe" Attribute="Shutter1Strobe" DMXFrom="64/1" PhysicalFrom="1" PhysicalTo="20"/>
              <ChannelFunction Name="Open 2" Attribute="Shutter1" DMXFrom="128/1"/><ChannelFunction Name="Closed 2" Attribute="Shutter1" DMXFrom="200/1"/>
            </LogicalChannel></DMXChannel>
            """)).Modes[0].Channels[0].Functions;
        Assert.Equal([1, 0, 1], f[0].Sets.Select(s => s.PhysicalFrom));
        Assert.Equal([1, 0, 1], f[0].Sets.Select(s => s.PhysicalTo));
        Assert.Equal((1, 1, 0, 0), (f[2].PhysicalFrom, f[2].PhysicalTo, f[3].PhysicalFrom, f[3].PhysicalTo));
    }

    /// <summary>Pan and tilt of one geometry: both move it, pan outermost, and it is said; through a reference too.</summary>
    [Theory]
    [InlineData("<Geometry Name=\"Base\"><Axis Name=\"Head\" Position=\"{1,0,0,0}{0,1,0,0}{0,0,1,-0.4}{0,0,0,1}\">"
        + "<Beam Name=\"Lens\"/></Axis></Geometry>", "Head")]
    [InlineData("<Geometry Name=\"Part\"><Beam Name=\"Lens\"/></Geometry><Geometry Name=\"Base\"><GeometryReference Name=\"Head\" Geometry=\"Part\" "
        + "Position=\"{1,0,0,0}{0,1,0,0}{0,0,1,-0.4}{0,0,0,1}\"><Break DMXBreak=\"1\" DMXOffset=\"1\"/></GeometryReference></Geometry>", "Head")]
    [InlineData("<Geometry Name=\"Part\"><Beam Name=\"Lens\"/></Geometry><Geometry Name=\"Base\"><GeometryReference Name=\"Head\" Geometry=\"Part\" "
        + "Position=\"{1,0,0,0}{0,1,0,0}{0,0,1,-0.4}{0,0,0,1}\"><Break DMXBreak=\"1\" DMXOffset=\"1\"/></GeometryReference></Geometry>", "Part")]
    public void Pan_and_tilt_of_one_geometry_both_move_it(string geometry, string on)
    {
        var p = GdtfReading.Good(Description(geometry, Channel(on, "Tilt", "3,4", "-120", "120") + Channel(on, "Pan", "1,2", "-270", "270")));
        var nodes = p.Modes[0].Geometry;
        Assert.Equal([null, AxisMotion.TurnZ, AxisMotion.TurnX, null], nodes.Select(n => n.Axis?.Motion));
        Assert.Equal([-1, 0, 1, 2], nodes.Select(n => n.Parent));
        Assert.Equal((-.4f, 0f), (nodes[1].Pose.Position.Z, nodes[2].Pose.Position.Z));
        Assert.Equal("Head", nodes[2].Name);
        Assert.Contains(p.NotUnderstood, n => n.Contains("pan and tilt act on it at once", StringComparison.Ordinal));
    }

    [Fact]
    public void A_beam_that_can_not_be_is_told()
    {
        var p = GdtfReading.Good(Description("<Beam Name=\"Base\" LuminousFlux=\"0\" BeamAngle=\"0\" FieldAngle=\"400\" ColorTemperature=\"10\"/>", ""));
        foreach (var says in (string[])["LuminousFlux is 0; 10000 lm is taken", "BeamAngle is 0; 25 deg is taken", "FieldAngle is 400; 179 deg is taken",
            "ColorTemperature is 10; 1000 K is taken"])
        {
            Assert.Contains(p.NotUnderstood, n => n.Contains(says, StringComparison.Ordinal));
        }

        Assert.Equal(10_000, p.Modes[0].Geometry[0].Beam!.LuminousFlux);
        Assert.Contains(GdtfReading.Good(Description("<Beam Name=\"Base\" BeamAngle=\"20\" FieldAngle=\"10\"/>", "")).NotUnderstood,
            n => n.Contains("smaller than its beam angle; 20 deg is taken for both", StringComparison.Ordinal));
        Assert.Empty(GdtfReading.Good(Description("<Beam Name=\"Base\" BeamAngle=\"30\" LuminousFlux=\"1200\"/>", "")).NotUnderstood);
    }

    /// <summary>Y goes to 100; a wheel that is dark everywhere means something else.</summary>
    [Theory]
    [InlineData("0.3127,0.3290,1", "at most 1")]
    [InlineData("0.3127,0.3290,0", "a Y of 0")]
    public void A_wheel_that_is_dark_everywhere_is_told(string white, string says)
    {
        var p = GdtfReading.Good(Description(Head, "", $"<Wheels><Wheel Name=\"W\"><Slot Name=\"a\" Color=\"{white}\"/><Slot Name=\"b\" "
            + $"Color=\"0.64,0.33,{(white.EndsWith('1') ? ".2126" : "0")}\"/></Wheel></Wheels>"));
        Assert.Contains(p.NotUnderstood, n => n.Contains(says, StringComparison.Ordinal));
        Assert.True(System.Numerics.Vector3.Distance(p.Wheels[0].Slots[0].Colour, new(1)) < .02f);
        Assert.True(System.Numerics.Vector3.Distance(p.Wheels[0].Slots[1].Colour, new(1, 0, 0)) < .02f);
    }

    /// <summary>Our own profiles leave ranges out too, and hang axes nowhere.</summary>
    [Fact]
    public void An_own_profile_is_told_the_same()
    {
        using var temp = new TempRig();
        temp.Write("t.fixture.jsonc", """
            { "name": "T", "geometry": [ { "name": "lens", "beam": { "kind": "spot", "flux": 1000, "beamAngle": 20 } } ],
              "modes": [ { "name": "One", "channels": [ { "attribute": "Zoom" },
                { "attribute": "Pan", "physical": [-90, 90] } ] } ] }
            """);
        var path = temp.Write("a.rig.jsonc", "{ \"profiles\": [\".\"], \"hangs\": [ { \"name\": \"a\", \"profile\": \"t\" } ] }");
        Assert.True(RigLoader.TryLoad(path, out var rig, out var problems));
        var profile = rig.Fixtures[0].Profile;
        Assert.Contains(profile.NotUnderstood, n => n.Contains("the beam's own 20 deg are taken", StringComparison.Ordinal));
        Assert.Equal(20, profile.Modes[0].Channels[0].Functions[0].PhysicalTo, 3);
        Assert.Contains(problems, p => p.Text.Contains("Pan moves nothing", StringComparison.Ordinal) && p.Line == 3);
        Assert.Equal(20, Angles.Degrees(profile.Modes[0].Geometry[0].Beam!.BeamAngle), 3);
    }
}
