using System.IO.Compression;
using System.Numerics;
using System.Text;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.ModelReaders;
using StageView.Rig.Profiles;
using StageView.Rig.Solids;
using StageView.Rig.Source;
using static StageView.Rig.Tests.Gdtf.ArchiveMaker;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Rules of DIN SPEC 15800:2022-02 for the archive, its models and what PhysicalDescriptions say of light.</summary>
internal static class GdtfMediaRules
{
    public static IReadOnlyDictionary<string, Action> All { get; } = new Dictionary<string, Action>
    {
        ["Archive: entries are stored or deflated"] = () =>
        {
            using var memory = new MemoryStream();
            using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
            {
                using var s = zip.CreateEntry("description.xml", CompressionLevel.NoCompression).Open();
                s.Write(Encoding.UTF8.GetBytes(Description("<Beam Name=\"Base\"/>", "")));
            }

            Assert.NotNull(GdtfReading.Read(memory.ToArray(), out _));
        },
        ["Archive: encrypted entries are refused"] = () =>
        {
            // Bit 0 of the general purpose flag, offset 8 of the central directory entry and 6 of the local header (APPNOTE 4.3.12, 4.3.7).
            var zip = ArchiveMaker.Gdtf(Description("<Beam Name=\"Base\"/>", ""));
            zip[zip.AsSpan().LastIndexOf((ReadOnlySpan<byte>)[0x50, 0x4B, 1, 2]) + 8] |= 1;
            zip[6] |= 1;
            Assert.Contains("description.xml is encrypted", GdtfReading.Refused(zip), StringComparison.Ordinal);
        },
        ["Model: the default mesh goes before the low and the high one, GLB before 3DS"] = () =>
        {
            const string Model = "<Model Name=\"M\" Length=\"1\" Width=\"1\" Height=\"1\" File=\"m\"/>";
            var tds = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]);
            Assert.Equal(12, Triangles(Model, ("models/3ds/m.3ds", tds), ("models/3ds_low/m.3ds", TdsWriter.Write(UnitMeshes.All[UnitMeshes.Sphere]))));
            Assert.Equal(2, Triangles(Model, ("models/3ds/m.3ds", tds), ("models/gltf/m.glb", Glb(Vector3.One))));
            Assert.Equal(12, Triangles(Model, ("models/3ds_high/m.3ds", tds)));
        },
        ["Archive: pictures are wheels/NAME.png, written without folder and extension"] = () =>
        {
            var p =
                With(
                    "<Wheels><Wheel Name=\"G\"><Slot Name=\"Open\"/><Slot Name=\"Dots\" MediaFileName=\"dots\"/><Slot Name=\"Lost\" "
                    + "MediaFileName=\"lost\"/></Wheel></Wheels>", Channel("Base", "Gobo1", "1", more: "Wheel=\"G\""), ("wheels/dots.png", [1]));
            Assert.Equal([0, 1, 0], p.Wheels[0].Slots.Select(s => s.GoboImage));
            Assert.Contains(p.NotUnderstood, n => n.Contains("wheels/lost.png is not in the archive", StringComparison.Ordinal));
        },
        ["Archive: names of pictures and models that bring folder, ending, blanks or another case are understood"] = () =>
        {
            foreach (var (media, entry) in ((string, string)[])[("wheels/dots", "wheels/dots.png"), ("dots.png", "wheels/dots.png"),
                ("wheels\\dots.PNG", "wheels/dots.png"), ("DOTS", "wheels/dots.png"), ("dots ", "wheels/dots.png"), ("set a/dots", "wheels/set a/dots.png"),
                ("dots", "wheels/dots.jpg"), ("my%20dots", "wheels/my dots.png"), ("dots", "dots.png")])
            {
                var p = With($"<Wheels><Wheel Name=\"G\"><Slot Name=\"Dots\" MediaFileName=\"{media}\"/></Wheel></Wheels>",
                    Channel("Base", "Gobo1", "1", more: "Wheel=\"G\""), (entry, [1]));
                Assert.True(p.Wheels[0].Slots[0].GoboImage == 1, media);
            }

            var tds = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]);
            foreach (var (file, entry) in ((string, string)[])[("models/3ds/m", "models/3ds/m.3ds"), ("m.3ds", "models/3ds/m.3ds"), ("M", "models/3ds/m.3ds"),
                ("m", "models/m.3ds"), ("3ds\\m.3ds", "models/3ds/m.3ds")])
            {
                var p = With($"<Models><Model Name=\"M\" Length=\"1\" Width=\"1\" Height=\"1\" File=\"{file}\"/></Models>", "", (entry, tds));
                Assert.True(p.Modes[0].Geometry[0].Body!.Shape == BodyShape.Mesh, file);
            }
        },
        ["Model: length is X, width Y, height Z, whatever the units of its 3DS file"] = () =>
        {
            var body = Body("<Model Name=\"M\" Length=\"0.4\" Width=\"0.3\" Height=\"0.2\" File=\"m\"/>",
                ("models/3ds/m.3ds", TdsWriter.Write(MeshScaling.Scale(UnitMeshes.All[UnitMeshes.Box], new(17, 5, 3)))));
            Assert.True(Vector3.Distance(new(.4f, .3f, .2f), body) < 1e-5f, body.ToString());
        },
        ["Model: a GLB is Y up, its height is along Y"] = () =>
        {
            var body = Body("<Model Name=\"M\" Length=\"1\" Width=\"2\" Height=\"3\" File=\"m\"/>", ("models/gltf/m.glb", Glb(new(10, 20, 40))));
            Assert.True(Vector3.Distance(new(1, 2, 3), body) < 1e-5f, body.ToString());
        },
        ["Model: it is scaled about the origin, not about its centre"] = () =>
        {
            var lifted = UnitMeshes.All[UnitMeshes.Box] with
            {
                Positions = [.. UnitMeshes.All[UnitMeshes.Box].Positions.Select(p => p + new Vector3(0, 0, .5f))],
            };
            var (low, high) = MeshScaling.Bounds(MeshScaling.Fit(lifted, new(1, 1, 4)));
            Assert.Equal((0f, 4f), (low.Z, high.Z));
        },
        ["Model: an extent of zero scales nothing, so a flat mesh stays finite"] = () =>
        {
            var flat = MeshScaling.Scale(UnitMeshes.All[UnitMeshes.Box],
                new(1, 1, 1)) with
            { Positions = [.. UnitMeshes.All[UnitMeshes.Box].Positions.Select(p => p * new Vector3(1, 1, 0))] };
            Assert.All(MeshScaling.Fit(flat, new(2, 2, .000023f)).Positions, p => Assert.True(float.IsFinite(p.Length()) && p.Z == 0));
        },
        ["Model: vertices of a 3DS are used as stored, its local matrix is not applied"] = () =>
        {
            var plain = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]);
            var moved = Local(plain);
            Assert.Equal(MeshScaling.Bounds(TdsReader.TryRead(plain, "a", out _)!),
                MeshScaling.Bounds(TdsReader.TryRead(moved, "b", out var why) ?? throw new InvalidOperationException(why)));
        },
        ["Model: every primitive fills its box; those of 1.1 hang from their top"] = () =>
        {
            foreach (var primitive in (string[])["Undefined", "Cube", "Cylinder", "Sphere", "Base", "Yoke", "Head", "Scanner", "Conventional", "Pigtail",
                "Base1_1", "Scanner1_1", "Conventional1_1"])
            {
                var body = With($"<Models><Model Name=\"M\" Length=\"0.4\" Width=\"0.3\" Height=\"0.2\" PrimitiveType=\"{primitive}\"/></Models>",
                    "").Modes[0].Geometry[0].Body!;
                Assert.Equal(new Vector3(.4f, .3f, .2f), body.Size);
                Assert.Equal(primitive is "Base1_1" or "Scanner1_1" or "Conventional1_1" or "Yoke" ? -.1f : 0, body.Offset.Position.Z, 5);
            }
        },
        ["Model: where its file is missing a plain shape stands in, and is listed"] = () =>
        {
            var p = With("<Models><Model Name=\"M\" Length=\"0.4\" Width=\"0.3\" Height=\"0.2\" File=\"gone\" PrimitiveType=\"Cube\"/></Models>", "");
            Assert.Equal(new Vector3(.4f, .3f, .2f), p.Modes[0].Geometry[0].Body!.Size);
            Assert.Contains(p.NotUnderstood, n => n.Contains("gone", StringComparison.Ordinal));
        },
        ["Wheel slot: white when it states no colour; prism facets turn copies; an animation's path is listed"] = () =>
        {
            var p =
                With(
                    "<Wheels><Wheel Name=\"W\"><Slot Name=\"a\"/><Slot Name=\"b\"><Facet "
                    + "Rotation=\"{1,0,0}{0,0.9962,-0.0872}{0,0.0872,0.9962}\"/><Facet/></Slot><Slot Name=\"c\"><AnimationSystem "
                    + "P1=\"0,0\"/></Slot></Wheel></Wheels>", "");
            Assert.Equal(Vector3.One, p.Wheels[0].Slots[0].Colour);
            Assert.Equal(2, p.Wheels[0].Slots[1].PrismFacets);
            Assert.Equal(5, p.Wheels[0].Slots[1].PrismSpread / Angles.RadiansPerDegree, .02f);
            Assert.Contains(p.NotUnderstood, n => n.Contains("slot c: the path of its animation", StringComparison.Ordinal));
        },

        ["Wheel slot: each facet of a prism has its turn and its colour"] = () =>
        {
            // A turn by 5 degrees about x takes -z towards +y, one about y takes it towards -x (right hand).
            var p = With("<Wheels><Wheel Name=\"W\"><Slot Name=\"b\"><Facet Color=\"0.64,0.33,21.26\" "
                + "Rotation=\"{1,0,0}{0,0.9962,-0.0872}{0,0.0872,0.9962}\"/>"
                + "<Facet Rotation=\"{0.9962,0,0.0872}{0,1,0}{-0.0872,0,0.9962}\"/></Slot></Wheel></Wheels>",
                "");
            var facets = p.Wheels[0].Slots[0].Facets;
            Assert.Equal(90, Angles.Degrees(facets[0].AzimuthRadians), .1f);
            Assert.Equal(180, MathF.Abs(Angles.Degrees(facets[1].AzimuthRadians)), .1f);
            Assert.All(facets, f => Assert.Equal(5, Angles.Degrees(f.TurnRadians), .05f));
            Assert.Equal((1, 0, Vector3.One), (MathF.Round(facets[0].Colour.X, 2), MathF.Round(MathF.Abs(facets[0].Colour.Y), 2), facets[1].Colour));
            Assert.DoesNotContain(p.NotUnderstood, n => n.Contains("facets", StringComparison.Ordinal));
        },

        // Spectral chromaticities of CIE 15 / ISO 11664-1: 550 nm is .3016, .6923; 600 nm is .6270, .3725.
        ["Emitter: without a Color its dominant wavelength gives the chromaticity"] = () =>
        {
            var e = With(Physical("<Emitters><Emitter Name=\"G\" DominantWaveLength=\"550\"/><Emitter Name=\"A\" DominantWaveLength=\"600\"/></Emitters>"),
                "").Emitters;
            Assert.Equal((.3016f, .6923f), (e[0].X, e[0].Y), Near);
            Assert.Equal((.6270f, .3725f), (e[1].X, e[1].Y), Near);
        },

        // CIE standard illuminant A is .4476, .4074 (CIE 15) and is black-body light of 2856 K.
        ["Emitter: a measured spectrum gives the chromaticity before its Color does"] = () =>
        {
            var points = string.Concat(Enumerable.Range(0, 101).Select(i => 360 + (5 * i))
                .Select(nm => FormattableString.Invariant($"<MeasurementPoint WaveLength=\"{nm}\" Energy=\"{Planckian.Spectrum(2856, nm)}\"/>")));
            var e =
                With(Physical($"<Emitters><Emitter Name=\"A\" Color=\"0.3,0.3,100\"><Measurement Physical=\"100\">{points}</Measurement></Emitter></Emitters>"),
                    "").Emitters[0];
            Assert.Equal((.4476f, .4074f), (e.X, e.Y), Near);
        },
        ["Emitter: intensities of all give the shares, else Y of their colours"] = () =>
        {
            static string One(string name, string y, string cd) =>
                $"<Emitter Name=\"{name}\" Color=\"0.3,0.3,{y}\"><Measurement Physical=\"100\" LuminousIntensity=\"{cd}\"/></Emitter>";
            Assert.Equal([.2f, .8f], With(Physical($"<Emitters>{One("a", "50", "1000")}{One("b", "50", "4000")}</Emitters>"),
                "").Emitters.Select(e => e.Share));
            Assert.Equal([.5f, .5f], With(Physical($"<Emitters>{One("a", "50", "1000")}{One("b", "50", "0")}</Emitters>"), "").Emitters.Select(e => e.Share));
        },
        ["Emitter: measurements at parts of the level are its response; Step holds, Log keeps ratios"] = () =>
        {
            static string M(int at, int cd, string to = "Linear") => $"<Measurement Physical=\"{at}\" LuminousIntensity=\"{cd}\" InterpolationTo=\"{to}\"/>";
            var e = With(Physical($"<Emitters><Emitter Name=\"a\" Color=\"0.3,0.3,100\">{M(50, 100)}{M(100, 1000, "Log")}</Emitter></Emitters>"),
                "").Emitters[0];
            Assert.Equal((.5f, .1f), (e.Levels[0].Level, e.Levels[0].Output));
            Assert.Equal(MathF.Sqrt(.1f), e.Levels.First(l => MathF.Abs(l.Level - .75f) < 1e-4f).Output, 4);
            var step = With(Physical($"<Emitters><Emitter Name=\"a\" Color=\"0.3,0.3,100\">{M(50, 100)}{M(100, 1000, "Step")}</Emitter></Emitters>"),
                "").Emitters[0];
            Assert.Equal([.1f, .1f, 1f], step.Levels.Select(l => l.Output));
        },
        ["Filter: the light measured behind it is its colour, Transmission its total"] = () =>
        {
            // Behind the filter only a narrow band around 550 nm is left: .3016, .6923, and a twentieth of the light.
            var p =
                With(
                    Physical(
                        "<Filters><Filter Name=\"F\"><Measurement Physical=\"100\" Transmission=\"0.05\"><MeasurementPoint WaveLength=\"545\" "
                        + "Energy=\"0\"/><MeasurementPoint WaveLength=\"550\" Energy=\"1\"/><MeasurementPoint WaveLength=\"555\" "
                        + "Energy=\"0\"/></Measurement></Filter></Filters>")
                + "<Wheels><Wheel Name=\"W\"><Slot Name=\"f\" Filter=\"F\"/></Wheel></Wheels>", "");
            Assert.Equal(.05f, Chromaticity.Luminance(p.Filters[0].Colour), .002f);
            Assert.Equal(p.Filters[0].Colour, p.Wheels[0].Slots[0].Colour);
            var behind = Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(p.Filters[0].Colour * Chromaticity.XyzToRec709(Planckian.White(6000))));
            Assert.True(Vector2.Distance(behind, new(.3016f, .6923f)) < .02f, behind.ToString());
        },
        ["Filter: a Color alone stands for a smooth curve that gives it"] = () =>
        {
            var f = With(Physical("<Filters><Filter Name=\"F\" Color=\"0.3127,0.3290,50\"/></Filters>"), "").Filters[0];
            Assert.True(Vector3.Distance(new(.5f), f.Colour) < .002f);
            Assert.All(f.Bands, b => Assert.Equal(.5f, b, .02f));
        },
        ["Filter: totals at parts of the travel say how far it acts there"] = () =>
        {
            static string M(int at, string t) => $"<Measurement Physical=\"{at}\" Transmission=\"{t}\"/>";
            var f = With(Physical($"<Filters><Filter Name=\"F\" Color=\"0.5,0.3,20\">{M(50, "0.9")}{M(100, "0.2")}</Filter></Filters>"), "").Filters[0];
            Assert.Equal(.125f, f.Insertions[0].Y, 4);
            Assert.Equal(new Vector2(1, 1), f.Insertions[^1]);
        },

        // IEC 61966-2-1 for sRGB, ISO 22028-2 for ROMM: luminance shares .2126, .7152, .0722 and .2880, .7119, .0001 (widely printed matrices).
        ["Colour space: predefined ones by their primaries, a custom one by its own"] = () =>
        {
            var s = With(Physical("""
                <ColorSpace Mode="ProPhoto"/><AdditionalColorSpaces><ColorSpace Name="s" Mode="sRGB"/><ColorSpace Name="e" Mode="ANSI"/>
                <ColorSpace Name="c" Mode="Custom" Red="0.64,0.33,21" Green="0.3,0.6,72" Blue="0.15,0.06,7" WhitePoint="0.3127,0.3290,100"/>
                  </AdditionalColorSpaces>
                """), "").ColourSpaces;
            Assert.Equal(["Default", "s", "e", "c"], s.Select(x => x.Name));
            Assert.True(Vector3.Distance(new(.2880f, .7119f, .0001f), new(s[0].Red.Y, s[0].Green.Y, s[0].Blue.Y)) < 2e-4f);
            Assert.True(Vector3.Distance(new(.2126f, .7152f, .0722f), new(s[1].Red.Y, s[1].Green.Y, s[1].Blue.Y)) < 1e-4f);
            Assert.Equal(s[1] with { Name = "c" }, s[3]);
            Assert.True(Vector2.Distance(new(.4254f, .4044f), Chromaticity.FromXyz(s[2].Xyz(Vector3.One))) < 1e-5f);
        },
        ["Colour space: the main one holds where a function of indirect mixing names none"] = () =>
        {
            var p = With(Physical("<ColorSpace Mode=\"ProPhoto\"/><AdditionalColorSpaces><ColorSpace Name=\"s\" Mode=\"sRGB\"/></AdditionalColorSpaces>"),
                Channel("Base", "ColorRGB_Red", "1") + Channel("Base", "HSB_Hue", "2", more: "ColorSpace=\"s\"") + Channel("Base", "ColorAdd_R", "3"));
            Assert.Equal([0, 1, -1], p.Modes[0].Channels.Select(c => c.Functions[0].ColourSpace));
        },
        ["Gamut: corners of a polygon, for indirect mixing"] = () =>
        {
            var p = With(Physical("<Gamuts><Gamut Name=\"g\" Points=\"{0.6,0.3,20}{0.2,0.7,70}{0.15,0.1,10}\"/></Gamuts>"),
                Channel("Base", "CIE_X", "1", more: "Gamut=\"g\""));
            Assert.Equal([new(.6f, .3f), new(.2f, .7f), new Vector2(.15f, .1f)], p.Modes[0].Channels[0].Functions[0].Gamut);
        },
        ["DMX profile: Out(x) = CFC3 d³ + CFC2 d² + CFC1 d + CFC0 from the last point at or below x, 0 before the first"] = () =>
        {
            var curve = Curve("<Point DMXPercentage=\"10\" CFC1=\"0.5\"/><Point DMXPercentage=\"60\" CFC0=\"25\" CFC2=\"0.046875\"/>");
            Assert.Equal([0f, 0f, .2f, .25f, 1f], new[] { 0f, .05f, .5f, .6f, 1f }.Select(x => MathF.Round(curve.At(x), 5)));
            Assert.Equal(.5f, curve.Inverse(.2f), 4);

            // In shares, and in percent with shares out, the same square.
            Assert.Equal(.25f, Curve("<Point CFC2=\"1\"/>").At(.5f), 5);
            Assert.Equal(.25f, Curve("<Point CFC2=\"0.0001\"/>").At(.5f), 5);
            Assert.Equal(.25f, Curve("<Point CFC2=\"0.01\"/>").At(.5f), 5);
        },
        ["DMX profile: Min and Max are its physical ends, held within the function's range"] = () =>
        {
            var f = With(Physical("<DMXProfiles><DMXProfile Name=\"p\"><Point CFC1=\"1\"/></DMXProfile></DMXProfiles>"),
                Channel("Base", "Zoom", "1", "10", "50", "DMXProfile=\"p\" Min=\"20\" Max=\"60\"")).Modes[0].Channels[0].Functions[0];

            // 20 + .25·40 = 30° is half-way from 10 to 50; at the end 60 is cut to 50.
            Assert.Equal([.25f, .5f, 1f], new[] { 0f, .25f, 1f }.Select(x => MathF.Round(f.Pieces!.At(x), 5)));
        },
        ["Sub channel set: duty cycle and flash length of a strobe; the attribute's own where none is stated; others are listed"] = () =>
        {
            const string Strobe =
                "<DMXChannel Offset=\"1\" Geometry=\"Base\"><LogicalChannel Attribute=\"Shutter1\"><ChannelFunction Attribute=\"Shutter1Strobe\" "
                + "PhysicalFrom=\"1\" PhysicalTo=\"20\">#</ChannelFunction></LogicalChannel></DMXChannel>";
            const string Own =
                "<AttributeDefinitions><Attributes><Attribute Name=\"Shutter1Strobe\"><SubPhysicalUnit Type=\"DutyCycle\" PhysicalFrom=\"0.1\" "
                + "PhysicalTo=\"0.4\"/></Attribute></Attributes></AttributeDefinitions>";
            var stated = With(Own, Strobe.Replace("#",
                "<SubChannelSet SubPhysicalUnit=\"Shutter1Strobe.DutyCycle\" PhysicalFrom=\"5\" PhysicalTo=\"50\"/><SubChannelSet "
                + "SubPhysicalUnit=\"Duration\" PhysicalFrom=\"0.01\" PhysicalTo=\"0.02\"/><SubChannelSet SubPhysicalUnit=\"TimeOffset\"/>",
                StringComparison.Ordinal));
            Assert.Equal(((.05f, .5f), (.01f, .02f)),
                (stated.Modes[0].Channels[0].Functions[0].Duty!.Value, stated.Modes[0].Channels[0].Functions[0].FlashSeconds!.Value));
            Assert.Contains(stated.NotUnderstood, n => n.Contains("TimeOffset", StringComparison.Ordinal));
            Assert.Equal((.1f, .4f), With(Own, Strobe.Replace("#", "", StringComparison.Ordinal)).Modes[0].Channels[0].Functions[0].Duty);
        },
        ["Links that lead nowhere are listed"] = () =>
        {
            var p = With("<Wheels><Wheel Name=\"W\"><Slot Name=\"f\" Filter=\"no\"/></Wheel></Wheels>",
                Channel("Base", "ColorSub_C", "1", more: "Filter=\"no\" DMXProfile=\"no\"")
                + Channel("Base", "HSB_Hue", "2", more: "ColorSpace=\"no\" Gamut=\"no\""));
            foreach (var says in (string[])["slot f: there is no filter no", "ColorSub_C: there is no usable DMX profile no",
                "ColorSub_C: there is no filter no", "there is no colour space no", "there is no gamut no"])
            {
                Assert.Contains(p.NotUnderstood, n => n.Contains(says, StringComparison.Ordinal));
            }
        },
    };

    private static bool Near((float, float) a, (float, float) b) => MathF.Abs(a.Item1 - b.Item1) < .001f && MathF.Abs(a.Item2 - b.Item2) < .001f;

    private static string Physical(string inner) => $"<PhysicalDescriptions>{inner}</PhysicalDescriptions>";

    private static CubicCurve Curve(string points) =>
        With(Physical($"<DMXProfiles><DMXProfile Name=\"p\">{points}</DMXProfile></DMXProfiles>"),
            Channel("Base", "Dimmer", "1", more: "DMXProfile=\"p\"")).Modes[0].Channels[0].Functions[0].Pieces!;

    private static FixtureProfile With(string more, string channels, params (string, byte[])[] files)
    {
        var problems = new ProblemList();
        var options = new RigLoadOptions
        {
            DecodeImage = (ReadOnlyMemory<byte> _, out int size, out byte[] rgb, out string why) =>
            {
                (size, rgb, why) =
            (1, [255, 255, 255], ""); return true;
            }
        };
        var p = GdtfFile.Read(ArchiveMaker.Gdtf(Description("<Beam Name=\"Base\" Model=\"M\"/>", channels, more), files), "t.gdtf", new RigAssets(), options,
            problems, new ArchiveBudget());
        Assert.True(p is not null, string.Join('\n', problems.ToList()));
        return p;
    }

    /// <summary>Extents of the mesh that the only model of a type comes to.</summary>
    private static Vector3 Body(string model, (string, byte[]) file)
    {
        var assets = new RigAssets();
        var p = GdtfFile.Read(ArchiveMaker.Gdtf(Description("<Beam Name=\"Base\" Model=\"M\"/>", "", $"<Models>{model}</Models>"), file), "t.gdtf", assets,
            RigLoadOptions.Default, new ProblemList(), new ArchiveBudget())!;
        Assert.DoesNotContain(p.NotUnderstood, n => n.StartsWith("model", StringComparison.Ordinal));
        var body = p.Modes[0].Geometry[0].Body!;
        var (low, high) = MeshScaling.Bounds(assets.Meshes[body.Mesh]);
        return (high - low) * body.Size;
    }

    private static int Triangles(string model, params (string, byte[])[] files)
    {
        var assets = new RigAssets();
        var p = GdtfFile.Read(ArchiveMaker.Gdtf(Description("<Beam Name=\"Base\" Model=\"M\"/>", "", $"<Models>{model}</Models>"), files), "t.gdtf", assets,
            RigLoadOptions.Default, new ProblemList(), new ArchiveBudget())!;
        return assets.Meshes[p.Modes[0].Geometry[0].Body!.Mesh].Indices.Length / 3;
    }

    private static byte[] Glb(Vector3 size)
    {
        var model = SharpGLTF.Schema2.ModelRoot.CreateModel();
        var points = new[] { Vector3.Zero, new(size.X, 0, 0), new(0, size.Y, 0), new(0, 0, size.Z) };
        int[] order = [0, 1, 2, 0, 2, 3];
        var corners = order.Select(i => points[i]).ToArray();
        var buffer = model.CreateBufferView(corners.Length * 12, 12, SharpGLTF.Schema2.BufferMode.ARRAY_BUFFER);
        System.Runtime.InteropServices.MemoryMarshal.AsBytes(corners.AsSpan()).CopyTo(buffer.Content);
        var accessor = model.CreateAccessor();
        accessor.SetVertexData(buffer, 0, corners.Length, new SharpGLTF.Memory.AttributeFormat(SharpGLTF.Schema2.DimensionType.VEC3));
        var primitive = model.CreateMesh("m").CreatePrimitive();
        primitive.SetVertexAccessor("POSITION", accessor);
        primitive.DrawPrimitiveType = SharpGLTF.Schema2.PrimitiveType.TRIANGLES;
        model.UseScene(0).CreateNode("n").Mesh = model.LogicalMeshes[0];
        return model.WriteGLB().ToArray();
    }

    /// <summary>The same file with a local matrix (0x4160, twelve floats) that would move the mesh by 1000 in its only object.</summary>
    private static byte[] Local(byte[] tds)
    {
        byte[] chunk = [0x60, 0x41, 54, 0, 0, 0, .. new float[] { 1, 0, 0, 0, 1, 0, 0, 0, 1, 1000, 1000, 1000 }.SelectMany(BitConverter.GetBytes)];
        byte[] longer = [.. tds, .. chunk];

        // Main, editor, object (its name follows) and mesh all end with the file: each grows by the chunk.
        var at = 0;
        for (var level = 0; level < 4; level++)
        {
            BitConverter.TryWriteBytes(longer.AsSpan(at + 2), BitConverter.ToInt32(longer, at + 2) + chunk.Length);
            at += level == 2 ? 6 + Array.IndexOf(longer, (byte)0, at + 6) - (at + 6) + 1 : 6;
        }

        return longer;
    }
}
