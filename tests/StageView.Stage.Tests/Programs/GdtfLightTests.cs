using System.Globalization;
using System.IO.Compression;
using System.Numerics;
using System.Text;
using StageView.Light.Colour;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Stage.Levels;
using StageView.Stage.State;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>
/// GDTF archives of our own from the file to the light: what DIN SPEC 15800:2022-02 says of emitters, filters, spaces, profiles, axes and relations.
/// </summary>
public sealed class GdtfLightTests : IDisposable
{
    private const string Head = """
        <Geometry Name="Base"><Axis Name="Yoke" Position="{1,0,0,0}{0,1,0,0}{0,0,1,-0.2}{0,0,0,1}">
          <Axis Name="Head" Position="{1,0,0,0}{0,1,0,0}{0,0,1,-0.3}{0,0,0,1}">
          <Beam Name="Lens" BeamType="Spot" BeamAngle="10" FieldAngle="12" LuminousFlux="10000" ColorTemperature="6500" #/></Axis></Axis></Geometry>
        """;

    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-gdtf-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private RigScene Rig(string channels, string more = "", string beam = "", string? geometry = null, string modeMore = "")
    {
        var xml =
            $"<GDTF><FixtureType Name=\"T\">{more}<Geometries>{geometry ?? Head.Replace("#", beam, StringComparison.Ordinal)}</Geometries><DMXModes><DMXMode "
            + $"Name=\"One\" Geometry=\"Base\"><DMXChannels>{channels}</DMXChannels>{modeMore}</DMXMode></DMXModes></FixtureType></GDTF>";
        using (var file = File.Create(Path.Combine(_folder, "own.gdtf")))
        using (var zip = new ZipArchive(file, ZipArchiveMode.Create))
        using (var entry = zip.CreateEntry("description.xml").Open())
        {
            entry.Write(Encoding.UTF8.GetBytes(xml));
        }

        var path = Path.Combine(_folder, "a.rig.jsonc");
        File.WriteAllText(path, "{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }");
        Assert.True(RigLoader.TryLoad(path, out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }

    private static string Channel(string attribute, string offset, string from = "0", string to = "1", string more = "", string geometry = "Lens") =>
        $"<DMXChannel Offset=\"{offset}\" Geometry=\"{geometry}\"><LogicalChannel Attribute=\"{attribute}\"><ChannelFunction "
        + $"Name=\"{attribute} 1\" Attribute=\"{attribute}\" PhysicalFrom=\"{from}\" PhysicalTo=\"{to}\" {more}/></LogicalChannel></DMXChannel>";

    private static string Physical(string inner) => $"<PhysicalDescriptions>{inner}</PhysicalDescriptions>";

    /// <summary>A spectrum every 5 nm.</summary>
    private static string Points(Func<double, double> energy) => string.Concat(Enumerable.Range(0, 81).Select(i => 380 + (5 * i))
        .Select(nm => string.Create(CultureInfo.InvariantCulture, $"<MeasurementPoint WaveLength=\"{nm}\" Energy=\"{energy(nm):0.########}\"/>")));

    private static EmitterReport Lens(RigScene rig, params (int, int)[] levels) => With(rig, TestRig.Levels(levels)).StateOf(0, TimeSpan.Zero).Emitters[0];

    private static void Near(float x, float y, Vector2 c, float by = .002f) => Assert.True(Vector2.Distance(new(x, y), c) < by, c.ToString());

    [Fact]
    public void An_emitters_measured_spectrum_is_its_colour()
    {
        // Equal energy at every wavelength is 1/3, 1/3 by the definition of the CIE 1931 system.
        var rig = Rig(Channel("ColorAdd_W", "1", more: "Emitter=\"W\""),
            Physical($"<Emitters><Emitter Name=\"W\" Color=\"0.2,0.2,100\"><Measurement Physical=\"100\">{Points(_ => 1)}</Measurement></Emitter></Emitters>"));
        var lens = Lens(rig, (1, 255));
        Near(1 / 3f, 1 / 3f, lens.Chromaticity);
        Assert.Equal(10_000, lens.FluxLumens, 1f);
    }

    [Fact]
    public void An_emitters_intensities_are_its_response()
    {
        var rig = Rig(Channel("ColorAdd_W", "1", more: "Emitter=\"W\""),
            Physical(
                "<Emitters><Emitter Name=\"W\" Color=\"0.3127,0.329,100\"><Measurement Physical=\"40\" LuminousIntensity=\"100\"/><Measurement "
                + "Physical=\"100\" LuminousIntensity=\"1000\"/></Emitter></Emitters>"));
        Assert.Equal(1000, Lens(rig, (1, 102)).FluxLumens, 1f);
        Assert.Equal(500, Lens(rig, (1, 51)).FluxLumens, 1f);
        Assert.Equal(5500, Lens(rig, (1, 178), (2, 0)).FluxLumens, 40f);
    }

    [Fact]
    public void A_beams_emitter_spectrum_is_its_open_white()
    {
        // CIE standard illuminant A: .4476, .4074 (CIE 15), black-body light of 2856 K; the stated 6500 K is not used.
        var points = Points(nm => Planckian.Spectrum(2856, nm));
        var lamp = $"<Emitters><Emitter Name=\"Lamp\" Color=\"0.3,0.3,100\"><Measurement>{points}</Measurement></Emitter></Emitters>";
        var rig = Rig(Channel("Dimmer", "1"), Physical(lamp), "EmitterSpectrum=\"Lamp\"");
        Near(.4476f, .4074f, Lens(rig, (1, 255)).Chromaticity);

        // Only a colour: that chromaticity.
        Near(.35f, .36f, Lens(Rig(Channel("Dimmer", "1"), Physical("<Emitters><Emitter Name=\"Lamp\" Color=\"0.35,0.36,100\"/></Emitters>"),
            "EmitterSpectrum=\"Lamp\""), (1, 255)).Chromaticity);
    }

    [Fact]
    public void A_filter_in_a_wheel_slot_gives_its_colour_and_takes_its_light()
    {
        // Half of the light at every wavelength: the colour stays, half of the flux goes.
        var points = Points(nm => Planckian.Spectrum(6500, nm));
        var filters = $"<Filters><Filter Name=\"Half\"><Measurement Physical=\"100\" Transmission=\"0.5\">{points}</Measurement></Filter>"
            + "<Filter Name=\"Deep\" Color=\"0.64,0.33,10\"/></Filters>";
        var rig = Rig(
            Channel("Dimmer", "1")
            + "<DMXChannel Offset=\"2\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Color1\"><ChannelFunction Attribute=\"Color1\" Wheel=\"W\"><ChannelSet "
            + "WheelSlotIndex=\"1\"/><ChannelSet DMXFrom=\"100/1\" WheelSlotIndex=\"2\"/><ChannelSet DMXFrom=\"200/1\" "
            + "WheelSlotIndex=\"3\"/></ChannelFunction></LogicalChannel></DMXChannel>",
            "<Wheels><Wheel Name=\"W\"><Slot Name=\"open\"/><Slot Name=\"half\" Filter=\"Half\"/><Slot Name=\"deep\" Filter=\"Deep\"/></Wheel></Wheels>"
            + Physical(filters));
        var open = Lens(rig, (1, 255));
        var half = Lens(rig, (1, 255), (2, 150));
        Near(open.Chromaticity.X, open.Chromaticity.Y, half.Chromaticity);
        Assert.Equal(5000, half.FluxLumens, 20f);

        // sRGB's red at a tenth of the light.
        Near(.64f, .33f, Lens(rig, (1, 255), (2, 255)).Chromaticity, .01f);
    }

    [Fact]
    public void Flags_with_measured_filters_mix_by_their_spectra()
    {
        // Cyan passes below 560 nm, yellow above 500: together a band from 500 to 560, which is green; each alone is not.
        static string Flag(string name, Func<double, bool> passes) =>
            $"<Filter Name=\"{name}\"><Measurement Physical=\"100\">{Points(nm => passes(nm) ? Planckian.Spectrum(6500, nm) : 0)}</Measurement></Filter>";
        var rig = Rig(
            Channel("Dimmer", "1") + Channel("ColorSub_C", "2", more: "Filter=\"C\"") + Channel("ColorSub_Y", "3", more: "Filter=\"Y\""),
            Physical($"<Filters>{Flag("C", nm => nm < 560)}{Flag("Y", nm => nm > 500)}</Filters>"));
        var both = Lens(rig, (1, 255), (2, 255), (3, 255)).Chromaticity;
        Assert.True(both is { X: > .1f and < .3f, Y: > .68f }, both.ToString());
        var cyan = Lens(rig, (1, 255), (2, 255)).Chromaticity;
        Assert.True(cyan is { X: < .22f, Y: < .45f }, cyan.ToString());

        // Half in, each takes half of what it takes.
        var open = Lens(rig, (1, 255)).FluxLumens;
        var full = Lens(rig, (1, 255), (2, 255)).FluxLumens;
        Assert.Equal(open - ((open - full) * 128 / 255), Lens(rig, (1, 255), (2, 128)).FluxLumens, 5f);
    }

    [Fact]
    public void Measured_totals_bend_a_flags_travel()
    {
        var rig = Rig(
            Channel("Dimmer", "1") + Channel("ColorSub_C", "2", more: "Filter=\"C\""),
            Physical(
                "<Filters><Filter Name=\"C\" Color=\"0.3127,0.329,20\"><Measurement Physical=\"60\" Transmission=\"0.9\"/><Measurement Physical=\"100\" "
                + "Transmission=\"0.2\"/></Filter></Filters>"));
        var open = Lens(rig, (1, 255)).FluxLumens;
        Assert.Equal(.9f * open, Lens(rig, (1, 255), (2, 153)).FluxLumens, .01f * open);
        Assert.Equal(.2f * open, Lens(rig, (1, 255), (2, 255)).FluxLumens, .01f * open);
    }

    [Fact]
    public void Indirect_colour_mixes_in_the_files_colour_space_and_within_its_gamut()
    {
        // ROMM RGB (ISO 22028-2): red .7347, .2653; white .3457, .3585.
        const string Spaces = "<ColorSpace Mode=\"ProPhoto\"/>";
        var rig = Rig(Channel("ColorRGB_Red", "1") + Channel("ColorRGB_Green", "2") + Channel("ColorRGB_Blue", "3"), Physical(Spaces));
        Near(.7347f, .2653f, Lens(rig, (1, 255)).Chromaticity);
        Near(.3457f, .3585f, Lens(rig, (1, 255), (2, 255), (3, 255)).Chromaticity);

        // Its blue, .0366, .0001, is no real colour: it comes out as a real one near it, and is not black.
        var blue = Lens(rig, (3, 255));
        Assert.True(blue.Chromaticity is { X: > .04f and < .2f, Y: > .005f and < .1f } && blue.FluxLumens > 50, $"{blue.Chromaticity} {blue.FluxLumens}");
        var hue = Rig(Channel("Dimmer", "1") + Channel("HSB_Hue", "2", "0", "360") + Channel("HSB_Saturation", "3"), Physical(Spaces));
        Near(.7347f, .2653f, Lens(hue, (1, 255), (3, 255)).Chromaticity);

        // Asked for .7, .28, beyond the corner (.6, .3): the point where the way from the middle leaves the triangle.
        var held = Rig(Channel("Dimmer", "1") + Channel("CIE_X", "2", more: "Gamut=\"g\"") + Channel("CIE_Y", "3", more: "Gamut=\"g\""),
            Physical("<Gamuts><Gamut Name=\"g\" Points=\"{0.6,0.3,20}{0.2,0.6,70}{0.2,0.1,10}\"/></Gamuts>"));
        var c = Lens(held, (1, 255), (2, 179), (3, 71)).Chromaticity;
        Assert.True(c.X < .605f && Vector2.Distance(c, new(.6f, .3f)) < .06f, c.ToString());
        Near(.3f, .3f, Lens(held, (1, 255), (2, 77), (3, 77)).Chromaticity, .003f);
    }

    [Fact]
    public void A_dmx_profile_is_the_response_and_comes_back()
    {
        // Out(x) = x² in percent: at 128/255 a share of .25196.
        var rig = Rig(Channel("Dimmer", "1", more: "DMXProfile=\"sq\""),
            Physical("<DMXProfiles><DMXProfile Name=\"sq\"><Point CFC2=\"0.01\"/></DMXProfile></DMXProfiles>"));
        Assert.Equal(2519.6f, Lens(rig, (1, 128)).FluxLumens, 1f);
        var encoder = new LevelsEncoder(rig);
        for (var raw = 0; raw < 256; raw += 5)
        {
            Assert.True(encoder.TrySet(rig.Fixtures[0], "Dimmer", With(rig, TestRig.Levels((1, raw))).Attribute("Dimmer").Target, out var why), why);
            Assert.Equal(raw, encoder.LevelsOf(0)[0]);
        }
    }

    [Fact]
    public void A_strobes_sub_channel_sets_are_its_duty_cycle()
    {
        const string Strobe =
            "<DMXChannel Offset=\"2\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Shutter1\"><ChannelFunction Attribute=\"Shutter1Strobe\" "
            + "PhysicalFrom=\"1\" PhysicalTo=\"1\"><SubChannelSet SubPhysicalUnit=\"DutyCycle\" PhysicalFrom=\"0.1\" "
            + "PhysicalTo=\"0.3\"/></ChannelFunction></LogicalChannel></DMXChannel>";
        var stage = With(Rig(Channel("Dimmer", "1") + Strobe), TestRig.Levels((1, 255), (2, 255)));

        // At 1 Hz it is open for the first .3 s; over a whole second three tenths of the light.
        Assert.Equal(10_000, stage.StateOf(0, TimeSpan.FromSeconds(.25)).Emitters[0].FluxLumens, 1f);
        Assert.Equal(0, stage.StateOf(0, TimeSpan.FromSeconds(.35)).Emitters[0].FluxLumens, 1f);
        Assert.Equal(.3f, stage.StateOf(0, TimeSpan.FromSeconds(3), TimeSpan.FromSeconds(1)).Emitters[0].Intensity, .01f);
    }

    [Fact]
    public void Pan_is_right_handed_about_z_and_tilt_about_x_after_the_position()
    {
        var rig = Rig(Channel("Dimmer", "1") + Channel("Pan", "2,3", "-180", "180", geometry: "Yoke") + Channel("Tilt", "4,5", "-90", "90", geometry: "Head"));

        // At rest along -z; +90° about x takes -z to +y; then +90° about z takes +y to -x.
        Assert.True(Vector3.Distance(-Vector3.UnitZ, Lens(rig, (1, 255), (2, 128), (4, 128)).Direction) < .02f);
        Assert.True(Vector3.Distance(Vector3.UnitY, Lens(rig, (1, 255), (2, 128), (4, 255), (5, 255)).Direction) < .02f);
        Assert.True(Vector3.Distance(-Vector3.UnitX, Lens(rig, (1, 255), (2, 192), (4, 255), (5, 255)).Direction) < .02f);
    }

    [Fact]
    public void Zoom_is_the_beam_angle_and_a_mode_master_chooses_its_range()
    {
        var zoom =
            "<DMXChannel Offset=\"3\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Zoom\"><ChannelFunction Name=\"N\" Attribute=\"Zoom\" PhysicalFrom=\"21\" "
            + "PhysicalTo=\"1.8\" ModeMaster=\"Lens_Gobo2\" ModeTo=\"9/1\"/><ChannelFunction Name=\"W\" Attribute=\"Zoom\" PhysicalFrom=\"42\" "
            + "PhysicalTo=\"3\" ModeMaster=\"Lens_Gobo2\" ModeFrom=\"10/1\" ModeTo=\"255/1\"/></LogicalChannel></DMXChannel>";
        var rig = Rig(Channel("Dimmer", "1") + Channel("Gobo2", "2") + zoom);
        Assert.Equal(21, Lens(rig, (1, 255), (2, 9)).BeamDegrees, .05f);
        Assert.Equal(42, Lens(rig, (1, 255), (2, 10)).BeamDegrees, .05f);
        Assert.Equal(1.8f, Lens(rig, (1, 255), (2, 0), (3, 255)).BeamDegrees, .05f);
    }

    [Fact]
    public void Dimmers_trickle_down()
    {
        const string Pixels =
            "<Geometry Name=\"Base\"><Geometry Name=\"Part\"><Beam Name=\"A\" LuminousFlux=\"1000\"/><Beam Name=\"B\" "
            + "LuminousFlux=\"1000\"/></Geometry></Geometry>";
        var rig = Rig(Channel("Dimmer", "1", geometry: "Base") + Channel("Dimmer", "2", geometry: "Part") + Channel("Dimmer", "3", geometry: "B"),
            geometry: Pixels);
        var state = With(rig, TestRig.Levels((1, 128), (2, 255), (3, 51))).StateOf(0, TimeSpan.Zero).Emitters;
        Assert.Equal([.502f, .1004f], state.Select(e => MathF.Round(e.Intensity, 4)).Select(i => i > .5f ? MathF.Round(i, 3) : i));
    }

    /// <summary>A dimmer without an address above two cells, at 0 as files have it, and relations that are written once for both cells.</summary>
    [Fact]
    public void A_dimmer_without_an_address_over_referenced_cells_is_open()
    {
        const string Cells = """
            <Geometry Name="Cell"><Beam Name="Led" LuminousFlux="1000"/></Geometry>
            <Geometry Name="Base"><GeometryReference Name="A" Geometry="Cell"><Break DMXBreak="1" DMXOffset="1"/></GeometryReference>
              <GeometryReference Name="B" Geometry="Cell"><Break DMXBreak="1" DMXOffset="2"/></GeometryReference></Geometry>
            """;
        var rig = Rig(Channel("Dimmer", "None", geometry: "Base", more: "Default=\"0/1\"") + Channel("ColorAdd_W", "1", geometry: "Led"), geometry: Cells,
            modeMore: "<Relations><Relation Name=\"v\" Master=\"Base_Dimmer\" Follower=\"Led_ColorAdd_W.ColorAdd_W.ColorAdd_W 1\" Type=\"Multiply\"/>"
            + "</Relations>");
        Assert.Equal([1000, 200], With(rig, TestRig.Levels((1, 255), (2, 51))).StateOf(0, TimeSpan.Zero).Emitters.Select(e => MathF.Round(e.FluxLumens)));
    }

    [Fact]
    public void Real_fade_and_acceleration_are_the_axis_motion()
    {
        // 540° in 3 s with .6 s to full speed: v = 225 deg/s, a = 375 deg/s². After 1 s: ½·375·.36 + 225·.4 = 157.5°.
        var rig = Rig(Channel("Pan", "1,2", "-270", "270", "RealFade=\"3\" RealAcceleration=\"0.6\"", "Yoke"));
        var stage = With(rig, TestRig.Levels());
        stage.OnLevels(Universe(1), TimeSpan.FromSeconds(1), TestRig.Levels((1, 255), (2, 255)));
        Assert.Equal(-270 + 157.5f, stage.Attribute("Pan", 2).Now, .1f);
        Assert.True(stage.Attribute("Pan", 3.9).ArrivesIn > 0);
        Assert.Equal(270, stage.Attribute("Pan", 4.01).Now, .05f);
    }

    /// <summary>A filter that the rig file puts in front of a fixture takes its share and colours what is left.</summary>
    [Fact]
    public void A_hangs_filter_is_in_the_light()
    {
        Rig(Channel("Dimmer", "1"));
        var path = Path.Combine(_folder, "a.rig.jsonc");
        File.WriteAllText(path,
            "{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"filter\": [0.5, 0.5, 0.5], \"patch\": \"1.1\" }, { \"name\": \"b\", \"profile\": "
            + "\"own\", \"filter\": [1, 0, 0], \"patch\": \"1.2\" } ] }");
        Assert.True(RigLoader.TryLoad(path, out var rig, out _));
        var stage = With(rig, TestRig.Levels((1, 255), (2, 255)));
        Assert.Equal(5000, stage.StateOf(0, TimeSpan.Zero).Emitters[0].FluxLumens, 5f);
        Near(.64f, .33f, stage.StateOf(1, TimeSpan.Zero).Emitters[0].Chromaticity, .003f);
    }
}
