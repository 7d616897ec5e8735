using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;
using static StageView.Rig.Tests.Gdtf.ArchiveMaker;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Rules of DIN SPEC 15800:2022-02 for geometry, channels and values, each with an archive of our own. Names say the rule.</summary>
internal static class GdtfRules
{
    private const string Lens = "<Geometry Name=\"Base\"><Axis Name=\"Yoke\"><Axis Name=\"Head\"><Beam Name=\"Lens\"/></Axis></Axis></Geometry>";

    private const string Cells = """
        <Geometry Name="Cell" Model="Cell"><Beam Name="Led"/></Geometry>
        <Geometry Name="Base"><GeometryReference Name="A" Geometry="Cell" Model="Other"><Break DMXBreak="1" DMXOffset="1"/><Break DMXBreak="2" DMXOffset="3"/>
          </GeometryReference>
          <GeometryReference Name="B" Geometry="Cell"><Break DMXBreak="1" DMXOffset="4"/><Break DMXBreak="2" DMXOffset="7"/></GeometryReference></Geometry>
        """;

    public static IReadOnlyDictionary<string, Action> All { get; } = new Dictionary<string, Action>
    {
        ["Rotation: three rows of three, same convention"] = () =>
        {
            var pose = GdtfValues.Matrix("{0,-1,0}{1,0,0}{0,0,1}")!.Value;
            Assert.True(Vector3.Distance(Vector3.UnitY, pose.TransformDirection(Vector3.UnitX)) < 1e-6f);
            Assert.Equal(Vector3.Zero, pose.Position);
        },
        ["Matrix: scale is taken out, the identity when left out"] = () =>
        {
            var mode = Mode("<Geometry Name=\"Base\"><Geometry Name=\"C\" Position=\"{2,0,0,1}{0,2,0,0}{0,0,2,0}{0,0,0,1}\"/></Geometry>", "");
            Assert.Equal(Pose.Identity, mode.Geometry[0].Pose);
            Assert.Equal(new Vector3(2, 0, 0), mode.Geometry[1].Pose.TransformPoint(Vector3.UnitX));
        },
        ["ColorCIE: x, y and Y of 0 to 100"] = () =>
        {
            Assert.Equal((.3127f, .329f, 50f), GdtfValues.Colour("0.3127,0.3290,50"));
            Assert.True(Vector3.Distance(new(.5f), GdtfValues.Transmission((.3127f, .329f, 50))) < .001f);
            Assert.Null(GdtfValues.Colour("0.3,0,50"));
        },
        ["Geometries: every kind is read, at any depth"] = () =>
        {
            string[] kinds = ["Geometry", "Axis", "FilterBeam", "FilterColor", "FilterGobo", "FilterShaper", "Beam", "MediaServerLayer", "MediaServerCamera",
                "MediaServerMaster", "Display", "Laser", "WiringObject", "Inventory", "Structure", "Support", "Magnet"];
            var tree = kinds.Aggregate("", (inner, k) => $"<{k} Name=\"{k}\">{inner}</{k}>");
            Assert.Equal(kinds.Reverse().Prepend("Base"), Mode($"<Geometry Name=\"Base\">{tree}</Geometry>", "").Geometry.Select(g => g.Name));
        },
        ["Beam types: Wash, PC and Fresnel soft, Spot hard, None and Glow shine all round, Rectangle hard"] = () =>
        {
            foreach (var (type, kind) in ((string, BeamKind)[])[("Wash", BeamKind.Wash), ("PC", BeamKind.Wash), ("Fresnel", BeamKind.Wash),
                ("Spot", BeamKind.Spot), ("Rectangle", BeamKind.Spot), ("None", BeamKind.Glow), ("Glow", BeamKind.Glow)])
            {
                var p = GdtfReading.Good(Description($"<Beam Name=\"Base\" BeamType=\"{type}\"/>", ""));
                Assert.Equal(kind, p.Modes[0].Geometry[0].Beam!.Kind);
                Assert.Equal(type == "Rectangle" ? BeamForm.Rectangle : BeamForm.Round, p.Modes[0].Geometry[0].Beam!.Form);
            }
        },
        ["Rectangle: RectangleRatio is width by height; ThrowRatio, distance by width, says the width's angle, or BeamAngle where that was left at 1"] = () =>
        {
            void Check(string attributes, double across, double up)
            {
                var beam = GdtfReading.Good(Description($"<Beam Name=\"Base\" BeamType=\"Rectangle\" {attributes}/>", "")).Modes[0].Geometry[0].Beam!;
                Assert.Equal(across, beam.BeamAngle, 1e-4);
                Assert.Equal(up, beam.BeamAngleUp, 1e-4);
                Assert.True(beam.FieldAngle >= beam.BeamAngle);
            }

            Check("", 2 * Math.Atan(.5), 2 * Math.Atan(.5 / 1.7777));
            Check("ThrowRatio=\"2\" RectangleRatio=\"1.25\"", 2 * Math.Atan(.25), 2 * Math.Atan(.2));
            Check("ThrowRatio=\"1\" BeamAngle=\"30\" RectangleRatio=\"2\"", Math.PI / 6, 2 * Math.Atan(Math.Tan(Math.PI / 12) / 2));
            Check("ThrowRatio=\"2\" BeamAngle=\"30\" RectangleRatio=\"0.5\"", 2 * Math.Atan(.25), 2 * Math.Atan(.5));
        },
        ["Laser: one wavelength in nm or RGB, W, m, mrad"] = () =>
        {
            var one =
                Mode(
                    "<Laser Name=\"Base\" ColorType=\"SingleWaveLength\" Color=\"532\" OutputStrength=\"2.5\" BeamDiameter=\"0.003\" "
                    + "BeamDivergenceMin=\"0.7\"/>", "").Geometry[0].Laser!;
            Assert.Equal((2.5f, .003f, .0007f), (one.PowerWatts, one.ApertureMetres, one.DivergenceRadians));
            Assert.Equal([532f], one.Wavelengths);
            Assert.Equal(3, Mode("<Laser Name=\"Base\"/>", "").Geometry[0].Laser!.Wavelengths.Length);
        },
        ["Reference: only geometries at the top of the file"] = () => Assert.Contains(
            "not at the top", GdtfReading.Refused(
                ArchiveMaker.Gdtf(Description("<Geometry Name=\"Base\"><Geometry Name=\"In\"/><GeometryReference Name=\"r\" Geometry=\"In\"/></Geometry>",
                    ""))), StringComparison.Ordinal),
        ["Reference: its model replaces that of the referenced root alone"] = () =>
        {
            var mode = GdtfReading.Good(Description(Cells.Replace("<Beam Name=\"Led\"/>", "<Beam Name=\"Led\" Model=\"Cell\"/>", StringComparison.Ordinal), "",
                "<Models><Model Name=\"Cell\" Length=\"1\" Width=\"1\" Height=\"1\" PrimitiveType=\"Cube\"/><Model Name=\"Other\" Length=\"2\" Width=\"2\" "
                + "Height=\"2\" PrimitiveType=\"Cube\"/></Models>")).Modes[0];
            Assert.Equal([2f, 1f, 1f, 1f], mode.Geometry.Skip(1).Select(g => g.Body!.Size.X));
        },
        ["Break: DMXBreak and DMXOffset are 1 when left out"] = () => Assert.Equal(
            [1, 3],
            Mode(
                "<Geometry Name=\"C\"/><Geometry Name=\"Base\"><GeometryReference Name=\"a\" Geometry=\"C\"><Break/></GeometryReference><GeometryReference "
                + "Name=\"b\" Geometry=\"C\"><Break DMXOffset=\"3\"/></GeometryReference></Geometry>",
                Channel("C", "Dimmer", "1")).Channels.Select(c => c.Offsets[0])),
        ["Address: offset + DMXOffset - 1 in its break (offset 3 at DMXOffset 3 is 5)"] = () =>
        {
            var mode = Mode(Cells, Channel("Cell", "Dimmer", "3", brk: "2"));
            Assert.Equal([(2, 5), (2, 9)], mode.Channels.Select(c => (c.Break, c.Offsets[0])));
        },
        ["Address: Overwrite takes the last Break (offsets 1, 2 at DMXOffset 7 are 7, 8)"] = () =>
        {
            var mode = Mode(Cells, Channel("Cell", "Dimmer", "1,2", brk: "Overwrite"));
            Assert.Equal([7, 8], mode.Channels[1].Offsets);
            Assert.All(mode.Channels, c => Assert.Equal(2, c.Break));
            Assert.Equal([0, 8], mode.Footprints);
        },
        ["Address: bytes need be neither in a row nor in order (24 bits at 4, 3, 5)"] = () =>
        {
            var c = Mode(Lens, Channel("Lens", "Dimmer", "4,3,5", more: "Default=\"128/1\"")).Channels[0];
            Assert.Equal([4, 3, 5], c.Offsets);
            Assert.Equal((16777215u, 8421504u), (c.MaxValue, c.Default));
        },
        ["Mode: starts at its own top geometry, other trees stay out"] = () =>
        {
            var xml = Description("<Geometry Name=\"Base\"/><Geometry Name=\"Second\"><Beam Name=\"L\"/></Geometry>", "")
                .Replace("</DMXModes>", "<DMXMode Name=\"Two\" Geometry=\"Second\"><DMXChannels>" + Channel("L", "Dimmer", "1")
                    + "</DMXChannels></DMXMode></DMXModes>", StringComparison.Ordinal);
            Assert.Equal([["Base"], ["Second", "L"]], GdtfReading.Good(xml).Modes.Select(m => m.Geometry.Select(g => g.Name).ToArray()));
        },
        ["Channel: its name is Geometry_FirstLogicalAttribute"] = () => Assert.Equal(
            "Lens_Shutter1",
            Mode(Lens,
                "<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Shutter1\"><ChannelFunction "
                + "Attribute=\"Shutter1\"/></LogicalChannel><LogicalChannel Attribute=\"Dimmer\"><ChannelFunction Attribute=\"Dimmer\" "
                + "DMXFrom=\"128/1\"/></LogicalChannel></DMXChannel>").Channels[0].Name),
        ["Channel: logical channels share it, one after another"] = () => Assert.Equal(
            [("Shutter1", 0u, 127u), ("Dimmer", 128u, 255u)],
            Mode(Lens,
                "<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Shutter1\"><ChannelFunction "
                + "Attribute=\"Shutter1\"/></LogicalChannel><LogicalChannel Attribute=\"Dimmer\"><ChannelFunction Attribute=\"Dimmer\" "
                + "DMXFrom=\"128/1\"/></LogicalChannel></DMXChannel>")
                .Channels[0].Functions.Select(f => (f.Attribute, f.DmxFrom, f.DmxTo))),
        ["Channel: InitialFunction chooses the default, the first function without it"] = () =>
        {
            const string Two =
                "<LogicalChannel Attribute=\"Dimmer\"><ChannelFunction Name=\"One\" Attribute=\"Dimmer\" Default=\"3/1\"/><ChannelFunction Name=\"Two\" "
                + "Attribute=\"Dimmer\" DMXFrom=\"100/1\" Default=\"150/1\"/></LogicalChannel></DMXChannel>";
            Assert.Equal(3u, Mode(Lens, "<DMXChannel Offset=\"1\" Geometry=\"Lens\">" + Two).Channels[0].Default);
            Assert.Equal(150u, Mode(Lens, "<DMXChannel Offset=\"1\" Geometry=\"Lens\" InitialFunction=\"Lens_Dimmer.Dimmer.Two\">" + Two).Channels[0].Default);
        },
        ["Channel: Highlight is a value or None"] = () =>
        {
            Assert.Equal(255u,
                Mode(Lens, Channel("Lens", "Dimmer", "1").Replace("Offset=", "Highlight=\"255/1\" Offset=", StringComparison.Ordinal)).Channels[0].Highlight);
            Assert.Null(Mode(Lens, Channel("Lens", "Dimmer", "1").Replace("Offset=", "Highlight=\"None\" Offset=",
                StringComparison.Ordinal)).Channels[0].Highlight);
        },
        ["Logical channel: Snap is Yes or On"] = () => Assert.Equal(
            [true, true, false],
            new[] { "Yes", "On", "No" }.Select(
                s => Mode(Lens, Channel("Lens", "Dimmer", "1").Replace("<LogicalChannel ", $"<LogicalChannel Snap=\"{s}\" ",
                    StringComparison.Ordinal)).Channels[0].Snap)),
        ["Logical channel: hints for consoles are listed"] = () => Assert.Contains(
            GdtfReading.Good(Description(Lens,
                Channel("Lens", "Dimmer", "1").Replace("<LogicalChannel ", "<LogicalChannel MibFade=\"2\" ", StringComparison.Ordinal))).NotUnderstood,
                n => n.Contains("MibFade", StringComparison.Ordinal)),
        ["Function: defaults are NoFeature, DMX from 0, 0 to 1, attribute and number as its name"] = () =>
        {
            var f =
                Mode(Lens,
                    "<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel><ChannelFunction/><ChannelFunction Attribute=\"Dimmer\" "
                    + "DMXFrom=\"9/1\"/></LogicalChannel></DMXChannel>").Channels[0].Functions;
            Assert.Equal(("NoFeature", 0u, 0f, 1f, "NoFeature 1"), (f[0].Attribute, f[0].DmxFrom, f[0].PhysicalFrom, f[0].PhysicalTo, f[0].Name));
            Assert.Equal("Dimmer 2", f[1].Name);
        },
        ["Function: real fade and acceleration are kept, in seconds"] = () =>
        {
            var f = Mode(Lens, Channel("Lens", "Zoom", "1", "4", "50", "RealFade=\"1.2\" RealAcceleration=\"0.3\"")).Channels[0].Functions[0];
            Assert.Equal((1.2f, .3f), (f.RealFade, f.RealAcceleration));
        },
        ["Function: a mode master may be a channel or one of its functions"] = () =>
        {
            foreach (var master in (string[])["Lens_Gobo1", "Lens_Gobo1.Gobo1.Gobo1 1"])
            {
                var f = Mode(Lens, Channel("Lens", "Gobo1", "1")
                    + Channel("Lens", "Zoom", "2", more: $"ModeMaster=\"{master}\" ModeFrom=\"5/1\" ModeTo=\"9/1\"")).Channels[1].Functions[0];
                Assert.Equal((0, 5u, 9u), (f.ModeMaster, f.ModeFrom, f.ModeTo));
            }
        },
        ["Function: a mode master of an instance is the nearest one"] = () =>
        {
            var mode = Mode(Cells, Channel("Cell", "Gobo1", "1", brk: "1")
                + Channel("Led", "Zoom", "2", brk: "1", more: "ModeMaster=\"Cell_Gobo1\" ModeTo=\"9/1\""));
            Assert.Equal([0, 1], mode.Channels.Skip(2).Select(c => c.Functions[0].ModeMaster));
        },
        ["Set: takes the function's range where it states none, and its slot counts from 1"] = () =>
        {
            var p = GdtfReading.Good(Description(Lens,
                "<DMXChannel Offset=\"1\" Geometry=\"Lens\"><LogicalChannel Attribute=\"Color1\"><ChannelFunction Attribute=\"Color1\" Wheel=\"W\" "
                + "PhysicalFrom=\"3\" PhysicalTo=\"7\"><ChannelSet Name=\"a\" WheelSlotIndex=\"2\"/><ChannelSet Name=\"b\" DMXFrom=\"10/1\" "
                + "PhysicalTo=\"5\"/></ChannelFunction></LogicalChannel></DMXChannel>",
                "<Wheels><Wheel Name=\"W\"><Slot Name=\"1\"/><Slot Name=\"2\"/></Wheel></Wheels>"));
            Assert.Equal([(3f, 7f, 2, 9u), (3f, 5f, 0, 255u)],
                p.Modes[0].Channels[0].Functions[0].Sets.Select(s => (s.PhysicalFrom, s.PhysicalTo, s.WheelSlot, s.DmxTo)));
        },
        ["Relation: Multiply and Override, the follower is a function"] = () =>
        {
            var mode = GdtfReading.Good(Description(Lens, Channel("Lens", "Dimmer", "None") + Channel("Lens", "ColorAdd_R", "1") + Channel("Lens", "Zoom", "2"),
                modeMore: """
                <Relations><Relation Name="a" Master="Lens_Dimmer" Follower="Lens_ColorAdd_R.ColorAdd_R.ColorAdd_R 1" Type="Multiply"/>
                <Relation Name="b" Master="Lens_Dimmer" Follower="Lens_Zoom.Zoom.Zoom 1" Type="Override"/></Relations>
                """)).Modes[0];
            Assert.Equal([new(0, 1, 0, RelationKind.Multiply), new ChannelRelation(0, 2, 0, RelationKind.Override)], mode.Relations);
        },
        ["Names of attributes count whatever their case, numbers from 1"] = () =>
        {
            Assert.Equal("Hz", AttributeCatalog.UnitOf("shutter2strobe"));
            Assert.Equal("deg", AttributeCatalog.UnitOf("GOBO12POS"));
        },
        ["Attributes of the order of usefulness are all known, with their units"] = () =>
        {
            foreach (var name in (string[])["Dimmer", "Pan", "Tilt", "Shutter1", "Shutter1Strobe", "Zoom", "ColorAdd_R", "ColorAdd_G", "ColorAdd_B",
                "ColorAdd_C", "ColorAdd_M", "ColorAdd_Y", "ColorAdd_RY", "ColorAdd_GY", "ColorAdd_W", "ColorAdd_WW", "ColorAdd_CW", "ColorAdd_UV", "ColorSub_C",
                "ColorSub_M", "ColorSub_Y", "ColorRGB_Red", "ColorRGB_Green", "ColorRGB_Blue", "Color1", "Shutter1StrobePulse", "Shutter1StrobeRandom",
                "StrobeFrequency", "StrobeModeStrobe", "Iris", "Frost1", "Focus1", "CTO", "CTB", "CTC", "Tint", "HSB_Hue", "HSB_Saturation", "HSB_Brightness",
                "CIE_X", "CIE_Y", "Gobo1", "Gobo1Pos", "Gobo1PosRotate", "Gobo1WheelSpin", "Color1WheelIndex", "Color1WheelSpin", "Prism1", "Prism1Pos",
                "Prism1PosRotate", "PanRotate", "TiltRotate", "Blade1A", "Blade1B", "Blade1Rot", "ShaperRot", "Gobo1SelectSpin", "Gobo1SelectShake",
                "AnimationWheel1", "Fog1", "Haze1", "XYZ_X"])
            {
                Assert.True(AttributeCatalog.UnitOf(name) is not null, name);
            }
        },
        ["Junk: offsets of drawings hundreds of digits long, misspelt lengths and off-spec names stop nothing"] = () =>
        {
            var p = GdtfReading.Good(Description(Lens.Replace("Name=\"Base\"", "Name=\"Base\" Model=\"M\"", StringComparison.Ordinal),
                Channel("Lens", "WobbleSpecial", "1"),
                $"<Models><Model Name=\"M\" Lenght=\"0.5\" Width=\"0.3\" Height=\"0.2\" PrimitiveType=\"Cube\" "
                + $"SVGOffsetX=\"{new string('9', 400)}\"/></Models>"));
            Assert.Equal(new Vector3(.5f, .3f, .2f), p.Modes[0].Geometry[0].Body!.Size);
            Assert.Contains(p.NotUnderstood, n => n.Contains("WobbleSpecial", StringComparison.Ordinal));
        },
        ["Nothing is dropped without a word: unknown elements and unused parts are listed"] = () =>
        {
            var p = GdtfReading.Good(Description("<Geometry Name=\"Base\"><Speaker Name=\"s\"/></Geometry>", "", """
                <PhysicalDescriptions><CRIs><CRIGroup/></CRIs><Connectors><Connector/></Connectors></PhysicalDescriptions><FTPresets><FTPreset/></FTPresets>
                  <Protocols><FTRDM/></Protocols><Odd/>
                """, "<FTMacros><FTMacro/></FTMacros>"));
            foreach (var says in (string[])["element Speaker", "element Odd", "colour rendering", "connectors", "presets", "protocols", "macros"])
            {
                Assert.Contains(p.NotUnderstood, n => n.Contains(says, StringComparison.Ordinal));
            }
        },
        ["Children of the fixture type may come in another order"] = () =>
        {
            var p = GdtfReading.Good("<GDTF><FixtureType Name=\"T\"><DMXModes><DMXMode Name=\"One\" Geometry=\"Base\"><DMXChannels>" + Channel("Base", "Dimmer",
                "1", more: "Emitter=\"E\"")
                + "</DMXChannels></DMXMode></DMXModes><Geometries><Beam Name=\"Base\"/></Geometries><PhysicalDescriptions><Emitters><Emitter Name=\"E\" "
                + "Color=\"0.3,0.3,100\"/></Emitters></PhysicalDescriptions></FixtureType></GDTF>");
            Assert.Equal(0, p.Modes[0].Channels[0].Functions[0].Emitter);
        },
    };

    private static FixtureMode Mode(string geometries, string channels) => GdtfReading.Good(Description(geometries, channels)).Modes[0];
}
