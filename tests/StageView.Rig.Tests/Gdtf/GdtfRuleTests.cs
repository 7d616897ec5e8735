using System.Numerics;
using System.Text;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Archives of our own for the rules of DIN SPEC 15800:2022-02; the rule is named at each test.</summary>
public sealed class GdtfRuleTests
{
    private const string Head = """
        <Geometry Name="Base" Model="Body"><Axis Name="Yoke" Position="{1,0,0,0}{0,1,0,0}{0,0,1,-0.2}{0,0,0,1}">
          <Axis Name="Head" Position="{1,0,0,0}{0,1,0,0}{0,0,1,-0.3}{0,0,0,1}"><Beam Name="Lens" BeamType="Spot" BeamAngle="10" FieldAngle="12"
            LuminousFlux="9000" BeamRadius="0.07"/></Axis></Axis></Geometry>
        """;

    /// <summary>DMXValue: "v/n" mirrors its bytes to widen, "v/ns" shifts, narrowing keeps the high bytes. Values from the standard's text.</summary>
    [Theory]
    [InlineData("255/1", 2, 65535u)]
    [InlineData("128/1", 2, 32896u)]
    [InlineData("128/1", 3, 8421504u)]
    [InlineData("255/1s", 2, 65280u)]
    [InlineData("32896/2", 1, 128u)]
    [InlineData("7", 1, 7u)]
    public void Dmx_values_widen_by_mirroring_or_shifting(string text, int width, uint value) =>
        Assert.Equal(value, GdtfValues.DmxValue(text, width));

    [Theory]
    [InlineData("256/1")]
    [InlineData("x/1")]
    [InlineData("1/9")]
    [InlineData("-1/1")]
    public void Other_dmx_values_are_none(string text) => Assert.Null(GdtfValues.DmxValue(text, 2));

    /// <summary>Matrix: row-major text, column-vector maths, the translation in the fourth column, metres.</summary>
    [Fact]
    public void A_matrix_places_by_its_last_column()
    {
        // A quarter turn about z: x becomes y.
        var pose = GdtfValues.Matrix("{0,-1,0,1}{1,0,0,2}{0,0,1,3}{0,0,0,1}")!.Value;
        Assert.True(Vector3.Distance(new(1, 2, 3), pose.Position) < 1e-6f);
        Assert.True(Vector3.Distance(Vector3.UnitY, pose.TransformDirection(Vector3.UnitX)) < 1e-6f);
        Assert.Null(GdtfValues.Matrix("{1e400,0,0,0}{0,1,0,0}{0,0,1,0}{0,0,0,1}"));
        Assert.Null(GdtfValues.Matrix("{NaN,0,0,0}{0,1,0,0}{0,0,1,0}{0,0,0,1}"));
    }

    [Fact]
    public void A_head_gets_its_tree_axes_beam_and_speeds()
    {
        var p = GdtfReading.Good(ArchiveMaker.Description(Head,
            ArchiveMaker.Channel("Yoke", "Pan", "1,2", "270", "-270", "RealFade=\"3\" RealAcceleration=\"0.6\" Default=\"128/1\"")
            + ArchiveMaker.Channel("Head", "Tilt", "3,4", "132.5", "-132.5")
            + ArchiveMaker.Channel("Lens", "Dimmer", "5"),
            "<Models><Model Name=\"Body\" Length=\"0.4\" Width=\"0.3\" Height=\"0.2\" PrimitiveType=\"Base1_1\"/></Models>"));
        var mode = p.Modes[0];
        Assert.Equal(["Base", "Yoke", "Head", "Lens"], mode.Geometry.Select(g => g.Name));
        Assert.Equal(AxisMotion.TurnZ, mode.Geometry[1].Axis!.Motion);
        Assert.Equal(AxisMotion.TurnX, mode.Geometry[2].Axis!.Motion);

        // R = 540°, T = 3 s, t = .6 s: v = 540 / 2.4 = 225 deg/s, a = 225 / .6 = 375 deg/s².
        Assert.Equal(225, mode.Geometry[1].Axis!.TopSpeed, 3);
        Assert.Equal(375, mode.Geometry[1].Axis!.Acceleration, 2);
        Assert.Equal(32896u, mode.Channels[0].Default);

        // Physical ranges may run backwards.
        Assert.Equal((132.5f, -132.5f), (mode.Channels[1].Functions[0].PhysicalFrom, mode.Channels[1].Functions[0].PhysicalTo));
        var beam = mode.Geometry[3].Beam!;
        Assert.Equal((BeamKind.Spot, 9000f, .07f), (beam.Kind, beam.LuminousFlux, beam.LensRadius));

        // Base1_1 has its top at z = 0: the box hangs below.
        Assert.Equal(-.1f, mode.Geometry[0].Body!.Offset.Position.Z, 5);
    }

    /// <summary>Beam defaults of the standard: Wash, 10000 lm, 6000 K, 25°, .05 m.</summary>
    [Fact]
    public void Beam_defaults_are_the_standards()
    {
        var beam = GdtfReading.Good(ArchiveMaker.Description("<Beam Name=\"Base\"/>", ArchiveMaker.Channel("Base", "Dimmer", "1"))).Modes[0].Geometry[0].Beam!;
        Assert.Equal(new BeamData
        {
            Kind = BeamKind.Wash,
            LuminousFlux = 10000,
            ColourTemperature = 6000,
            BeamAngle = Angles.Radians(25),
            FieldAngle = Angles.Radians(25),
            LensRadius = .05f,
        }, beam);
    }

    /// <summary>Virtual channels have the offset None or an empty one; their value is the default.</summary>
    [Theory]
    [InlineData("None")]
    [InlineData("")]
    public void Virtual_channels_have_no_address(string offset)
    {
        var mode = GdtfReading.Good(ArchiveMaker.Description(Head,
            ArchiveMaker.Channel("Lens", "Dimmer", offset, more: "Default=\"255/1\"") + ArchiveMaker.Channel("Lens", "Zoom", "1"))).Modes[0];
        Assert.Empty(mode.Channels[0].Offsets);
        Assert.Equal(255u, mode.Channels[0].Default);
        Assert.Equal([1], mode.Footprints);
    }

    /// <summary>The default once stood on the channel; the function's own wins.</summary>
    [Fact]
    public void An_older_default_on_the_channel_is_taken()
    {
        var xml = ArchiveMaker.Description(Head,
            ArchiveMaker.Channel("Lens", "Dimmer", "1").Replace("Offset=", "Default=\"77/1\" Offset=", StringComparison.Ordinal));
        Assert.Equal(77u, GdtfReading.Good(xml).Modes[0].Channels[0].Default);
    }

    /// <summary>A function ends before the next one that can be active with it: mode masters split a channel.</summary>
    [Fact]
    public void Mode_masters_choose_among_functions()
    {
        var mode = GdtfReading.Good(ArchiveMaker.Description(Head, """
            <DMXChannel Offset="1" Geometry="Lens"><LogicalChannel Attribute="Gobo2">
              <ChannelFunction Name="Gobo" Attribute="Gobo2" DMXFrom="0/1"/></LogicalChannel></DMXChannel>
            <DMXChannel Offset="2" Geometry="Lens"><LogicalChannel Attribute="Zoom">
              <ChannelFunction Name="Narrow" Attribute="Zoom" DMXFrom="0/1" PhysicalFrom="21" PhysicalTo="1.8" ModeMaster="Lens_Gobo2" ModeFrom="0/1"
                ModeTo="9/1"/>
              <ChannelFunction Name="Wide" Attribute="Zoom" DMXFrom="0/1" PhysicalFrom="42" PhysicalTo="3" ModeMaster="Lens_Gobo2" ModeFrom="10/1"
                ModeTo="255/1"/>
              <ChannelFunction Name="Wide end" Attribute="Zoom" DMXFrom="200/1" ModeMaster="Lens_Gobo2" ModeFrom="10/1" ModeTo="255/1"/>
            </LogicalChannel></DMXChannel>
            """)).Modes[0];
        var f = mode.Channels[1].Functions;
        Assert.Equal(["Narrow", "Wide", "Wide end"], f.Select(x => x.Name));
        Assert.All(f, x => Assert.Equal(0, x.ModeMaster));
        Assert.Equal([255u, 199u, 255u], f.Select(x => x.DmxTo));
        Assert.Equal((10u, 255u), (f[1].ModeFrom, f[1].ModeTo));
    }

    [Fact]
    public void Relations_and_masters_are_resolved_for_each_instance()
    {
        const string Geometries = """
            <Geometry Name="Cell"><Beam Name="Led"/></Geometry>
            <Geometry Name="Base"><GeometryReference Name="C1" Geometry="Cell"><Break DMXBreak="1" DMXOffset="1"/></GeometryReference>
              <GeometryReference Name="C2" Geometry="Cell"><Break DMXBreak="1" DMXOffset="3"/></GeometryReference></Geometry>
            """;
        var mode = GdtfReading.Good(ArchiveMaker.Description(Geometries,
            ArchiveMaker.Channel("Cell", "Dimmer", "1") + ArchiveMaker.Channel("Led", "ColorAdd_R", "2"),
            modeMore: "<Relations><Relation Name=\"r\" Master=\"Cell_Dimmer\" Follower=\"Led_ColorAdd_R.ColorAdd_R.ColorAdd_R 1\" "
            + "Type=\"Multiply\"/></Relations>")).Modes[0];
        Assert.Equal(["C1_Dimmer", "C2_Dimmer", "C1 Led_ColorAdd_R", "C2 Led_ColorAdd_R"], mode.Channels.Select(c => c.Name));
        Assert.Equal([1, 3, 2, 4], mode.Channels.Select(c => c.Offsets[0]));
        Assert.Equal([new(0, 2, 0, RelationKind.Multiply), new ChannelRelation(1, 3, 0, RelationKind.Multiply)], mode.Relations);
    }

    /// <summary>Wheel slots are counted from 1; files hold 0 and -2147483648 too. Media is decoded by whoever can.</summary>
    [Fact]
    public void Wheels_slots_and_sets_are_read_with_junk_indices_as_none()
    {
        var p = GdtfReading.Good(ArchiveMaker.Description(Head, """
            <DMXChannel Offset="1" Geometry="Lens"><LogicalChannel Attribute="Color1"><ChannelFunction Name="C" Attribute="Color1" Wheel="Colours">
              <ChannelSet Name="Open" DMXFrom="0/1" WheelSlotIndex="1"/><ChannelSet Name="Red" DMXFrom="10/1" WheelSlotIndex="2"/>
              <ChannelSet Name="Junk" DMXFrom="20/1" WheelSlotIndex="-2147483648"/><ChannelSet Name="Zero" DMXFrom="30/1" WheelSlotIndex="0"/>
            </ChannelFunction></LogicalChannel></DMXChannel>
            """, "<Wheels><Wheel Name=\"Colours\"><Slot Name=\"Open\"/><Slot Name=\"Red\" Color=\"0.64,0.33,21.26\"/></Wheel></Wheels>"));
        var sets = p.Modes[0].Channels[0].Functions[0].Sets;
        Assert.Equal([1, 2, 0, 0], sets.Select(s => s.WheelSlot));
        Assert.Equal([(0u, 9u), (10u, 19u), (20u, 29u), (30u, 255u)], sets.Select(s => (s.DmxFrom, s.DmxTo)));

        // xyY of the sRGB red primary (IEC 61966-2-1): linear 1, 0, 0.
        Assert.True(Vector3.Distance(new(1, 0, 0), p.Wheels[0].Slots[1].Colour) < .01f);
        Assert.Equal(Vector3.One, p.Wheels[0].Slots[0].Colour);
    }

    [Fact]
    public void Emitters_share_the_flux_by_their_luminance()
    {
        var p = GdtfReading.Good(ArchiveMaker.Description(Head,
            ArchiveMaker.Channel("Lens", "ColorAdd_R", "1", more: "Emitter=\"Red\""),
            "<PhysicalDescriptions><Emitters><Emitter Name=\"Red\" Color=\"0.69,0.308,25\"/><Emitter Name=\"White\" "
            + "Color=\"0.3127,0.329,75\"/></Emitters><Properties><Weight Value=\"21.5\"/></Properties></PhysicalDescriptions>"));
        Assert.Equal([.25f, .75f], p.Emitters.Select(e => e.Share));
        Assert.Equal(0, p.Modes[0].Channels[0].Functions[0].Emitter);
        Assert.Equal(21.5f, p.WeightKilograms);
    }

    [Fact]
    public void What_is_not_understood_is_listed()
    {
        var p = GdtfReading.Good(ArchiveMaker.Description(
            "<Geometry Name=\"Base\"><MediaServerLayer Name=\"Layer\"/></Geometry>",
            ArchiveMaker.Channel("Base", "Wobble", "1") + ArchiveMaker.Channel("Nowhere", "Dimmer", "2"),
            "<PhysicalDescriptions><Gamuts><Gamut Name=\"g\"/></Gamuts></PhysicalDescriptions>"));
        foreach (var says in (string[])["Wobble", "Nowhere_Dimmer", "gamut g", "MediaServerLayer"])
        {
            Assert.Contains(p.NotUnderstood, n => n.Contains(says, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void A_rig_can_hang_a_gdtf_by_name()
    {
        using var temp = new TempRig();
        File.WriteAllBytes(Path.Combine(temp.Folder, "own.gdtf"),
            ArchiveMaker.Gdtf(ArchiveMaker.Description(Head, ArchiveMaker.Channel("Lens", "Dimmer", "1"))));
        var rig = temp.Load("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }");
        Assert.Equal("Test type", rig.Fixtures[0].Profile.Name);
    }

    [Fact]
    public void Hostile_archives_are_refused_with_one_line()
    {
        Assert.Contains("not a zip archive", GdtfReading.Refused(Encoding.ASCII.GetBytes("hello")), StringComparison.Ordinal);
        Assert.Contains("no description.xml", GdtfReading.Refused(ArchiveMaker.Zip(("other.xml", [1]))), StringComparison.Ordinal);
        Assert.Contains("leads outside", GdtfReading.Refused(ArchiveMaker.Zip(("../description.xml", [1]))), StringComparison.Ordinal);
        Assert.Contains("leads outside", GdtfReading.Refused(ArchiveMaker.Zip(("C:\\description.xml", [1]))), StringComparison.Ordinal);
        Assert.Contains("leads outside", GdtfReading.Refused(ArchiveMaker.Zip(("/description.xml", [1]))), StringComparison.Ordinal);
        Assert.Contains("by more than case", GdtfReading.Refused(ArchiveMaker.Zip(("description.xml", [1]), ("Description.xml", [1]))),
            StringComparison.Ordinal);
        Assert.Contains("unpacks to more than 64 MiB", GdtfReading.Refused(ArchiveMaker.Zip(("description.xml", new byte[65 << 20]))),
            StringComparison.Ordinal);
        Assert.Contains("document type definition", GdtfReading.Refused(ArchiveMaker.Gdtf("<!DOCTYPE a [<!ENTITY b \"c\">]><GDTF>&b;</GDTF>")),
            StringComparison.Ordinal);
        var deep = string.Concat(Enumerable.Repeat("<Geometry Name=\"a\">", 10_000)) + string.Concat(Enumerable.Repeat("</Geometry>", 10_000));
        Assert.Contains("deeper than 64 levels", GdtfReading.Refused(ArchiveMaker.Gdtf(ArchiveMaker.Description(deep, ""))), StringComparison.Ordinal);
        Assert.Contains("not well-formed", GdtfReading.Refused(ArchiveMaker.Gdtf("<GDTF>")), StringComparison.Ordinal);
        Assert.Contains("no DMX mode", GdtfReading.Refused(ArchiveMaker.Gdtf("<GDTF><FixtureType Name=\"a\"/></GDTF>")), StringComparison.Ordinal);
    }

    [Fact]
    public void References_that_circle_or_explode_are_refused()
    {
        Assert.Contains("a circle", GdtfReading.Refused(ArchiveMaker.Gdtf(ArchiveMaker.Description(
            "<Geometry Name=\"Base\"><GeometryReference Name=\"r\" Geometry=\"B\"/></Geometry><Geometry Name=\"B\"><GeometryReference Name=\"s\" "
            + "Geometry=\"B\"/></Geometry>", ""))), StringComparison.Ordinal);

        // Twelve levels of ten references each would be a million million nodes.
        var levels = new StringBuilder("<Geometry Name=\"Base\"><GeometryReference Name=\"r\" Geometry=\"L0\"/></Geometry>");
        for (var i = 0; i < 12; i++)
        {
            levels.Append($"<Geometry Name=\"L{i}\">")
                .Append(string.Concat(Enumerable.Range(0, 10).Select(k => $"<GeometryReference Name=\"r{k}\" Geometry=\"L{i + 1}\"/>"))).Append("</Geometry>");
        }

        levels.Append("<Geometry Name=\"L12\"/>");
        Assert.Contains("more than 20000 geometries", GdtfReading.Refused(ArchiveMaker.Gdtf(ArchiveMaker.Description(levels.ToString(), ""))),
            StringComparison.Ordinal);
    }

    /// <summary>Few lines that unfold to very many channels, functions or sets get one line, and soon.</summary>
    [Theory]
    [InlineData(1, 5000, 0, "a channel has 5001 functions and sets")]
    [InlineData(2000, 1, 1500, "more than 300000 functions and sets")]
    [InlineData(9000, 1, 0, "unfolds to more than 16384 channels")]
    public void Channels_that_explode_are_refused(int cells, int functions, int sets, string says)
    {
        var references = string.Concat(
            Enumerable.Range(0, cells).Select(i => $"<GeometryReference Name=\"r{i}\" Geometry=\"Cell\"><Break DMXOffset=\"1\"/></GeometryReference>"));
        var function = $"<ChannelFunction Attribute=\"Dimmer\">{string.Concat(Enumerable.Repeat("<ChannelSet/>", sets))}</ChannelFunction>";
        var channel =
            $"<DMXChannel Offset=\"None\" Geometry=\"Cell\"><LogicalChannel "
            + $"Attribute=\"Dimmer\">{string.Concat(Enumerable.Repeat(function, functions))}</LogicalChannel></DMXChannel>";
        Assert.Contains(says, GdtfReading.Refused(
            ArchiveMaker.Gdtf(ArchiveMaker.Description($"<Geometry Name=\"Cell\"/><Geometry Name=\"Base\">{references}</Geometry>",
                channel + (cells > 5000 ? channel : "")))), StringComparison.Ordinal);
    }

    [Fact]
    public void A_length_or_checksum_that_lies_is_refused()
    {
        var zip = ArchiveMaker.Gdtf(ArchiveMaker.Description(Head, ""));

        // The CRC stands at offset 16 of the central directory entry (APPNOTE 4.3.12), signature 0x02014b50.
        var at = zip.AsSpan().LastIndexOf((ReadOnlySpan<byte>)[0x50, 0x4B, 1, 2]);
        zip[at + 16] ^= 0xFF;
        Assert.Contains("checksum", GdtfReading.Refused(zip), StringComparison.Ordinal);
    }

    /// <summary>The uncompressed size stands at offset 24 of the central directory entry (APPNOTE 4.3.12).</summary>
    [Theory]
    [InlineData(100)]
    [InlineData(2_000_000_000)]
    public void A_declared_size_that_lies_is_refused(int declared)
    {
        var zip = ArchiveMaker.Gdtf(ArchiveMaker.Description(Head, ""));
        var at = zip.AsSpan().LastIndexOf((ReadOnlySpan<byte>)[0x50, 0x4B, 1, 2]);
        BitConverter.TryWriteBytes(zip.AsSpan(at + 24), declared);
        Assert.Contains("description.xml", GdtfReading.Refused(zip), StringComparison.Ordinal);
    }

    [Fact]
    public void More_entries_than_a_fixture_can_have_are_refused() => Assert.Contains(
        "more than 4096", GdtfReading.Refused(
            ArchiveMaker.Zip([("description.xml", [1]), .. Enumerable.Range(0, 4100).Select(i => ($"a{i}", Array.Empty<byte>()))])), StringComparison.Ordinal);

    /// <summary>Ten entries of 60 MiB are each within their limit; together they are not.</summary>
    [Fact]
    public void What_unpacks_to_more_in_all_is_refused()
    {
        var budget = new ArchiveBudget { Left = 150L << 20 };
        using var archive = SafeArchive.TryOpen(ArchiveMaker.Zip([.. Enumerable.Range(0, 3).Select(i => ($"a{i}", new byte[60 << 20]))]), budget, out _);
        Assert.NotNull(archive!.TryRead("a0", out _));
        Assert.NotNull(archive.TryRead("a1", out _));
        Assert.Null(archive.TryRead("a2", out var why));
        Assert.Contains("512 MiB", why, StringComparison.Ordinal);
    }

    [Fact]
    public void Any_damage_gives_problems_never_an_exception()
    {
        var random = new Random(5);
        var xml = ArchiveMaker.Description(
            Head.Replace("BeamRadius", "EmitterSpectrum=\"E\" BeamRadius", StringComparison.Ordinal),
            ArchiveMaker.Channel("Yoke", "Pan", "1,2", "270", "-270", "RealFade=\"3\" RealAcceleration=\"1\"") + ArchiveMaker.Channel("Lens", "Dimmer", "3",
                more: "DMXProfile=\"P\" Min=\"0\" Max=\"1\"")
                + ArchiveMaker.Channel("Lens", "ColorSub_C", "4", more: "Filter=\"F\"") + ArchiveMaker.Channel("Lens", "HSB_Hue", "5",
                    more: "ColorSpace=\"S\" Gamut=\"G\"")
                + "<DMXChannel Offset=\"6\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Color1\"><ChannelFunction Attribute=\"Color1\" "
                + "Wheel=\"W\"><ChannelSet WheelSlotIndex=\"1\"/><SubChannelSet SubPhysicalUnit=\"DutyCycle\" PhysicalFrom=\"0\" "
                + "PhysicalTo=\"1\"/></ChannelFunction></LogicalChannel></DMXChannel>",
            """
            <Wheels><Wheel Name="W"><Slot Name="a" Filter="F"/><Slot Name="b" Color="0.3,0.3,50"><Facet Rotation="{1,0,0}{0,1,0}{0,0,1}"/></Slot></Wheel>
              </Wheels>
            <PhysicalDescriptions><Emitters><Emitter Name="E" Color="0.3,0.3,50"><Measurement Physical="50" LuminousIntensity="10" InterpolationTo="Log">
              <MeasurementPoint WaveLength="500" Energy="1"/></Measurement><Measurement Physical="100" LuminousIntensity="100">
                <MeasurementPoint WaveLength="500" Energy="1"/><MeasurementPoint WaveLength="600" Energy="2"/></Measurement></Emitter></Emitters>
            <Filters><Filter Name="F" Color="0.5,0.3,20"><Measurement Physical="30" Transmission="0.9"/><Measurement Physical="100" Transmission="0.2">
              <MeasurementPoint WaveLength="550" Energy="1"/></Measurement></Filter></Filters>
            <ColorSpace Name="S" Mode="Custom" Red="0.7,0.3,20" Green="0.2,0.7,70" Blue="0.1,0.1,10"/><Gamuts>
              <Gamut Name="G" Points="{0.7,0.3,20}{0.2,0.7,70}{0.1,0.1,10}"/></Gamuts>
            <DMXProfiles><DMXProfile Name="P"><Point DMXPercentage="0" CFC1="1"/><Point DMXPercentage="50" CFC0="50" CFC3="0.0004"/></DMXProfile></DMXProfiles>
              </PhysicalDescriptions>
            """);
        Assert.DoesNotContain(GdtfReading.Good(xml).NotUnderstood, n => n.Contains("no usable", StringComparison.Ordinal));
        for (var i = 0; i < 600; i++)
        {
            var text = new StringBuilder(xml);
            for (var k = 0; k < 3; k++)
            {
                text[random.Next(text.Length)] = (char)random.Next(32, 127);
            }

            GdtfReading.Read(ArchiveMaker.Gdtf(text.ToString()), out _);
            var zip = ArchiveMaker.Gdtf(xml);
            zip[random.Next(zip.Length)] ^= (byte)random.Next(1, 256);
            GdtfReading.Read(zip, out _);
        }
    }
}
