using StageView.Rig.Tests.Mvr;
using static StageView.Rig.Tests.Gdtf.ArchiveMaker;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Modes of a GDTF file (DIN SPEC 15800:2022-02, DMX Mode): one that can't be used is left out alone; names are matched as meant.</summary>
public sealed class GdtfModeTests : IDisposable
{
    private const string Lens = "<Geometry Name=\"Base\"><Axis Name=\"Head\"><Beam Name=\"Lens\"/></Axis></Geometry>";

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static string Modes(params (string Name, string Channels)[] modes) =>
        $"<GDTF><FixtureType Name=\"T\"><Geometries>{Lens}</Geometries><DMXModes>"
        + string.Concat(modes.Select(m => $"<DMXMode Name=\"{m.Name}\" Geometry=\"Base\"><DMXChannels>{m.Channels}</DMXChannels></DMXMode>"))
        + "</DMXModes></FixtureType></GDTF>";

    private static string Good(string offset) => Channel("Lens", "Dimmer", offset);

    public static TheoryData<string, string> Unusable => new()
    {
        { Good("1") + Channel("Lens", "Zoom", "1"), "both use 1.1" },
        { Good("1,2") + Channel("Lens", "Zoom", "2,3"), "both use 1.2" },
        { Good("513"), "offsets are 1 to 512" },
        { Good("1,2,3,4,5"), "at most 4 bytes" },
    };

    [Theory]
    [MemberData(nameof(Unusable))]
    public void A_mode_that_can_not_be_used_leaves_the_others(string channels, string why)
    {
        var p = GdtfReading.Good(Modes(("First", Good("1")), ("Bad", channels), ("Last", Good("2"))));
        Assert.Equal(["First", "Last"], p.Modes.Select(m => m.Name));
        Assert.Contains(why, Assert.Single(p.RefusedModes).Why, StringComparison.Ordinal);
        Assert.Contains(p.NotUnderstood, n => n.StartsWith("mode \"Bad\" (line", StringComparison.Ordinal) && n.Contains(why, StringComparison.Ordinal));
        Assert.Contains(why, GdtfReading.Refused(ArchiveMaker.Gdtf(Modes(("Bad", channels)))), StringComparison.Ordinal);
    }

    [Fact]
    public void A_mode_whose_geometry_is_not_there_leaves_the_others()
    {
        var xml = Modes(("Lost", Good("1")), ("One", Good("1")));
        xml = xml.Replace("Name=\"Lost\" Geometry=\"Base\"", "Name=\"Lost\" Geometry=\"Nowhere\"", StringComparison.Ordinal);
        Assert.Equal(["One"], GdtfReading.Good(xml).Modes.Select(m => m.Name));
    }

    [Fact]
    public void A_rig_that_names_a_mode_which_is_left_out_is_told_why()
    {
        File.WriteAllBytes(Path.Combine(_temp.Folder, "t.gdtf"),
            ArchiveMaker.Gdtf(Modes(("Bad", Good("1") + Channel("Lens", "Zoom", "1")), ("One", Good("1")))));
        const string Hang = "{ \"profiles\": [\".\"], \"hangs\": [ { \"name\": \"a\", \"profile\": \"t\"";
        Assert.Contains(_temp.Refused(Hang + ", \"mode\": \"Bad\" } ] }"), p => p.Path == "$.hangs[0].mode"
            && p.Text.Contains("can't be used: in mode \"Bad\" the channels Lens_Dimmer and Lens_Zoom both use 1.1", StringComparison.Ordinal));
        Assert.Equal("One", _temp.Load(Hang + ", \"mode\": \"One\" } ] }").Fixtures[0].Mode.Name);

        // Without a name the first that can be used is taken, with a warning.
        var path = _temp.Write("b.rig.jsonc", Hang + " } ] }");
        Assert.True(Rig.Scene.RigLoader.TryLoad(path, out _, out var problems));
        Assert.Contains(problems, p => p.Text.Contains("names no mode: \"One\" is taken", StringComparison.Ordinal));
    }

    /// <summary>A blank at an end, two within, another case: the mode is found by the name that a rig file and an MVR file can write.</summary>
    [Theory]
    [InlineData("Second ", "Second")]
    [InlineData(" Second", "Second")]
    [InlineData("Mode  two", "Mode two")]
    [InlineData("Second", "second")]
    [InlineData("Second\t", "Second")]
    public void Modes_are_found_by_their_names_as_the_file_means_them(string inFile, string named)
    {
        var gdtf = ArchiveMaker.Gdtf(Modes(("First", Good("1")), (inFile, Good("7"))));
        File.WriteAllBytes(Path.Combine(_temp.Folder, "t.gdtf"), gdtf);
        var rig = _temp.Load($"{{ \"profiles\": [\".\"], \"hangs\": [ {{ \"name\": \"a\", \"profile\": \"t\", \"mode\": \"{named}\" }} ] }}");
        Assert.Equal([7], rig.Fixtures[0].Mode.Footprints);
        foreach (var written in (string[])[inFile, named])
        {
            var report = MvrFile.Import(_temp, MvrFile.Of("<Layers><Layer><ChildList><Fixture name=\"F\" uuid=\"1\"><GDTFSpec>t.gdtf</GDTFSpec>"
                + $"<GDTFMode>{written}</GDTFMode></Fixture></ChildList></Layer></Layers>", ("t.gdtf", gdtf)), "m" + written.Length + written[0]);
            Assert.Equal([7], MvrFile.Load(report.RigFile).Fixtures[0].Mode.Footprints);
            Assert.DoesNotContain(report.Notes, n => n.Contains("mode", StringComparison.Ordinal));
            Directory.Delete(Path.GetDirectoryName(report.RigFile)!, recursive: true);
        }
    }

    [Theory]
    [InlineData("<GDTFMode>Third</GDTFMode>", "t.gdtf has no mode \"Third\": \"First\" is used")]
    [InlineData("", "t.gdtf: no mode is named: \"First\", its first, is used")]
    [InlineData("<GDTFMode>Bad</GDTFMode>", "t.gdtf: the mode \"Bad\" can't be used (")]
    public void A_mode_that_an_import_does_not_find_is_told(string mode, string says)
    {
        var gdtf = ArchiveMaker.Gdtf(Modes(("First", Good("1")), ("Second", Good("7")), ("Bad", Good("1") + Good("1"))));
        var report = MvrFile.Import(_temp, MvrFile.Of(
            $"<Layers><Layer><ChildList><Fixture name=\"F\" uuid=\"1\"><GDTFSpec>t.gdtf</GDTFSpec>{mode}</Fixture></ChildList></Layer></Layers>",
            ("t.gdtf", gdtf)), "m");
        Assert.Contains(report.Notes, n => n.Contains(says, StringComparison.Ordinal));
    }

    /// <summary>Links between the parts of a file hold though one side has a blank more: geometry, wheel, emitter, mode master, relation.</summary>
    [Fact]
    public void Links_within_a_file_survive_blanks()
    {
        var p = GdtfReading.Good("""
            <GDTF><FixtureType Name="T">
            <Wheels><Wheel Name="Colours "><Slot Name="Open"/><Slot Name="Red"/></Wheel></Wheels>
            <PhysicalDescriptions><Emitters><Emitter Name=" Warm" Color="0.45,0.41,100"/></Emitters></PhysicalDescriptions>
            <Models><Model Name="Body " Length="1" Width="1" Height="1" PrimitiveType="Cube"/></Models>
            <Geometries><Geometry Name="Base" Model="Body"><Beam Name="Lens "/></Geometry></Geometries>
            <DMXModes><DMXMode Name="One" Geometry=" Base"><DMXChannels>
              <DMXChannel Offset="1" Geometry="Lens" InitialFunction="Lens _Color1.Color1.Second "><LogicalChannel Attribute="Color1">
                <ChannelFunction Name="First" Attribute="Color1" Default="3/1"/>
                <ChannelFunction Name="Second" Attribute="Color1" DMXFrom="100/1" Default="101/1" Wheel=" Colours"/></LogicalChannel></DMXChannel>
              <DMXChannel Offset="2" Geometry="Lens  "><LogicalChannel Attribute="ColorAdd_WW"><ChannelFunction Name="W" Attribute="ColorAdd_WW" Emitter="Warm"
                ModeMaster="Lens _Color1" ModeFrom="0/1" ModeTo="9/1"/></LogicalChannel></DMXChannel></DMXChannels>
              <Relations><Relation Name="r" Master="Lens _Color1" Follower="Lens _ColorAdd_WW.ColorAdd_WW.W " Type="Multiply"/></Relations></DMXMode></DMXModes>
            </FixtureType></GDTF>
            """);
        var mode = p.Modes[0];
        Assert.NotNull(mode.Geometry[0].Body);
        Assert.Equal(101u, mode.Channels[0].Default);
        Assert.Equal(0, mode.Channels[0].Functions[1].Wheel);
        Assert.Equal((0, 0), (mode.Channels[1].Functions[0].Emitter, mode.Channels[1].Functions[0].ModeMaster));
        Assert.Single(mode.Relations);
    }
}
