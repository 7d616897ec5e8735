using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Mvr;

/// <summary>
/// DIN SPEC 15801, MappingDefinition and Mapping: ux and uy are the offset in pixels from the source's top left, ox and oy the size, rz turns the part about
/// its middle, counter-clockwise. Which part of the picture each corner of a fixture shows is worked out by hand here.
/// </summary>
public sealed class MvrMappingTests : IDisposable
{
    private const string Panel = """
        { "name": "Panel",
          "geometry": [{ "name": "frame", "parts": [
            { "name": "left", "at": [0.5, 0, 0.1], "pixels": { "columns": 2, "rows": 2, "size": [1, 1], "luminance": 800 } },
            { "name": "right", "at": [-0.5, 0, 0.1], "pixels": { "columns": 2, "rows": 2, "size": [1, 1], "luminance": 1200 } }] }],
          "modes": [{ "name": "One", "channels": [],
            "pixels": [{ "geometry": "left", "first": 1, "order": "RGB" }, { "geometry": "right", "first": 13, "order": "RGB" }] }] }
        """;

    private const string Bent = """
        { "name": "Bent",
          "geometry": [{ "name": "frame", "parts": [
            { "name": "left", "at": [0.5, 0, 0], "pixels": { "columns": 2, "rows": 2, "size": [1, 1], "luminance": 800 } },
            { "name": "right", "at": [-0.5, 0, 0], "rotate": [0, 20, 0], "pixels": { "columns": 2, "rows": 2, "size": [1, 1], "luminance": 800 } }] }],
          "modes": [{ "name": "One", "channels": [] }] }
        """;

    /// <summary>Stands upright at (1, 2, 3), its front (-Z) towards -y, the audience, its top (+Y) up; its +X, the left seen from there, is -x.</summary>
    private const string Upright = "<Matrix>{-1,0,0}{0,0,1}{0,1,0}{1000,2000,3000}</Matrix>";

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_fixture_shows_its_part_of_the_picture_upright()
    {
        var rig = Loaded(Of(Map("100", "50", "200", "40")));
        var content = Assert.Single(rig.Content);
        Assert.Equal("wall on Panel", content.Name);
        Assert.Equal("media/still.png", content.File);
        Assert.True(File.Exists(content.FullPath));
        Assert.Equal(1200, content.Luminance);
        Assert.False(content.Repeat);
        Assert.Equal([0], content.Fixtures.Select(f => f.Value));

        // The face is 2 m by 1 m, 0.1 m along the fixture's Z (here +y): its top left corner is at (0, 2.1, 3.5).
        Shows(content, new Vector3(0, 2.1f, 3.5f), 100, 50);
        Shows(content, new Vector3(2, 2.1f, 3.5f), 300, 50);
        Shows(content, new Vector3(0, 2.1f, 2.5f), 100, 90);
        Shows(content, new Vector3(2, 2.1f, 2.5f), 300, 90);
        Assert.Contains("\"content\", 1 picture over pixels: not written as mappings", MvrExporter.Export(rig, Stream.Null));
    }

    [Fact]
    public void A_part_is_turned_about_its_middle_counter_clockwise()
    {
        // 200 by 100 from (100, 50): its middle is (200, 100). A quarter turn takes its top left corner, 100 left and 50 above, to 50 left and 100 below.
        var content = Assert.Single(Loaded(Of(Map("100", "50", "200", "100", "<rz>90</rz>"))).Content);
        Shows(content, new Vector3(0, 2.1f, 3.5f), 150, 200);
        Shows(content, new Vector3(2, 2.1f, 3.5f), 150, 0);
        Shows(content, new Vector3(0, 2.1f, 2.5f), 250, 200);
        Shows(content, new Vector3(1, 2.1f, 3), 200, 100);
    }

    [Fact]
    public void What_a_mapping_leaves_out_is_the_whole_picture()
    {
        var content = Assert.Single(Loaded(Of("<Mapping linkedDef=\"M1\"/>")).Content);
        Shows(content, new Vector3(0, 2.1f, 3.5f), 0, 0);
        Shows(content, new Vector3(2, 2.1f, 2.5f), 400, 200);
    }

    // The source has 400 by 200 pixels; the definition counts in other ones. The middle of what it counts in is always the picture's.
    [Theory]
    [InlineData("800", "800", "ScaleKeepRatio", 0, 200, 800, 600)]
    [InlineData("800", "800", "", 0, 200, 800, 600)]
    [InlineData("800", "800", "ScaleIgnoreRatio", 0, 0, 800, 800)]
    [InlineData("800", "800", "KeepSizeCenter", 200, 300, 600, 500)]
    [InlineData("800", "800", "<ScaleHandling>KeepSizeCenter</ScaleHandling>", 200, 300, 600, 500)]
    public void A_source_of_another_size_lies_as_its_scaling_says(string x, string y, string scale, float left, float top, float right, float bottom)
    {
        var definition = Definition(x, y, scale.StartsWith('<') ? scale : scale.Length > 0 ? $"<ScaleHandeling>{scale}</ScaleHandeling>" : "");
        var content = Assert.Single(Loaded(Of("<Mapping linkedDef=\"m1\"/>", definition)).Content);

        // Where the picture's corners lie on the face, 2 m for x pixels and 1 m for y.
        var (wide, high) = (float.Parse(x, CultureInfo.InvariantCulture), float.Parse(y, CultureInfo.InvariantCulture));
        Near(new Vector3(2 * left / wide, 2.1f, 3.5f - (top / high)), content.Corner);
        Near(new Vector3(2 * right / wide, 2.1f, 3.5f - (bottom / high)), content.Corner + content.Across + content.Down);
    }

    [Fact]
    public void Glowing_beams_in_a_grid_fill_it_to_half_a_step_around()
    {
        // Three columns 0.2 m apart and two rows 0.3 m apart; looking down from z = 0, the first column at +X.
        var pixels = string.Concat(Enumerable.Range(0, 6).Select(i => string.Create(CultureInfo.InvariantCulture,
            $"<GeometryReference Name=\"P{i}\" Geometry=\"Pixel\" "
            + $"Position=\"{{1,0,0,{.2 * (1 - (i % 3))}}}{{0,1,0,{.15 - (.3 * (i / 3))}}}{{0,0,1,0}}{{0,0,0,1}}\">"
            + $"<Break DMXBreak=\"1\" DMXOffset=\"{i + 1}\"/></GeometryReference>")));
        var gdtf = ArchiveMaker.Gdtf(ArchiveMaker.Description(
            $"<Geometry Name=\"Base\">{pixels}</Geometry><Beam Name=\"Pixel\" BeamType=\"Glow\" BeamRadius=\"0.05\" LuminousFlux=\"100\"/>",
            ArchiveMaker.Channel("Pixel", "Dimmer", "1")));
        var report = MvrFile.Import(_temp, MvrFile.Of(Definition("400", "200") + Layers(Fixture("Grid", "grid.gdtf", "<Mapping linkedDef=\"M1\"/>", "")),
            ("grid.gdtf", gdtf), ("still.png", Png(400, 200))), "grid");
        var content = Assert.Single(MvrFile.Load(report.RigFile).Content);
        Shows(content, new Vector3(.3f, .3f, 0), 0, 0);
        Shows(content, new Vector3(-.3f, -.3f, 0), 400, 200);
        Assert.Equal(100 / (4 * MathF.PI * MathF.PI * .0025f), content.Luminance, 1f);
    }

    [Fact]
    public void What_can_t_be_laid_is_told_with_its_reason()
    {
        const string more = """
            <MappingDefinition name="stream" uuid="M2"><SizeX>10</SizeX><SizeY>10</SizeY><Source type="NDI">DESK</Source></MappingDefinition>
            <MappingDefinition name="lost" uuid="M3"><SizeX>10</SizeX><SizeY>10</SizeY><Source type="File">gone.png</Source></MappingDefinition>
            <MappingDefinition name="words" uuid="M4"><SizeX>10</SizeX><SizeY>10</SizeY><Source type="File">words.mp4</Source></MappingDefinition>
            <MappingDefinition name="spare" uuid="M5"><SizeX>10</SizeX><SizeY>10</SizeY><Source type="File">loop.mp4</Source></MappingDefinition>
            <MappingDefinition name="bare" uuid="M6"><SizeX>10</SizeX><SizeY>10</SizeY></MappingDefinition>
            """;
        string To(string id) => $"<Mapping linkedDef=\"{id}\"/>";
        var fixtures = Fixture("Panel", "panel.gdtf", To("M2") + To("M3") + To("M4") + To("M6") + To("M9") + To("m2"), Upright)
            + Fixture("Bent", "bent.gdtf", To("M1"), Upright) + Fixture("Bent", "bent.gdtf", To("M1"), Upright)
            + Fixture("Head", "two.gdtf", To("M1"), "") + Fixture("Box", "none.gdtf", To("M1"), "") + Fixture("Star *", "panel.gdtf", To("M1"), Upright);
        var report = Import(Archive(Definition("400", "200", more: more) + Layers(fixtures)));
        Assert.Empty(MvrFile.Load(report.RigFile).Content);
        string[] expected =
        [
            "mapping \"stream\" on \"Panel\": its NDI source \"DESK\" is live, and live sources are not read",
            "mapping \"stream\" on \"Panel\": a fixture shows one part of a picture, its first is taken",
            "mapping \"lost\" on \"Panel\": its source gone.png is not in the archive",
            "mapping \"words\" on \"Panel\": its source words.mp4 does not begin as a file of its ending does",
            "mapping \"bare\" on \"Panel\": it has no source",
            "mapping \"M9\" on \"Panel\": there is no such mapping definition",
            "mapping \"wall\" on \"Bent\" and others, 2 fixtures in all: bent.gdtf, mode \"One\", has pixels that are not on one plane",
            "mapping \"wall\" on \"Head\": two.gdtf, mode \"One\", has no pixels",
            "mapping \"wall\" on \"Box\": a placeholder box has no pixels",
            "mapping \"wall\" on \"Star *\": a name with a * means several fixtures in \"content\": rename it",
            "mapping \"spare\": no fixture shows it",
        ];
        Assert.All(expected, e => Assert.Contains(e, report.Notes));

        // What nothing shows is kept for people to lay; a name that leads to no picture is not.
        Assert.Equal(["media/loop.mp4", "media/still.png", "media/words.mp4"],
            report.Written.Where(w => w.StartsWith("media/", StringComparison.Ordinal)).Order());
    }

    [Fact]
    public void A_film_starts_anew_and_its_own_size_is_told_as_unread()
    {
        const string more = """
            <MappingDefinition name="film" uuid="M2"><SizeX>400</SizeX><SizeY>200</SizeY><Source type="File">loop.mp4</Source></MappingDefinition>
            """;
        var report = Import(Archive(Definition("400", "200", more: more) + Layers(Fixture("Panel", "panel.gdtf", "<Mapping linkedDef=\"M2\"/>", Upright))));
        var content = Assert.Single(MvrFile.Load(report.RigFile).Content);
        Assert.True(content.Repeat);
        Assert.Equal("media/loop.mp4", content.File);
        Assert.Contains(report.Notes, n => n.Contains("loop.mp4 isn't read", StringComparison.Ordinal));
    }

    [Fact]
    public void A_picture_stays_where_a_carried_panel_is_at_rest_and_that_is_told()
    {
        const string inHead = "<ChildPosition>Base.Head</ChildPosition>";
        var scene = Definition("400", "200") + Layers("<Fixture name=\"Head\" uuid=\"H\"><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode>"
            + "<Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,5000}</Matrix><ChildList>"
            + Fixture("Panel", "panel.gdtf", "<Mapping linkedDef=\"M1\"/>", Upright + inHead) + "</ChildList></Fixture>");
        var report = Import(Archive(scene));
        Shows(Assert.Single(MvrFile.Load(report.RigFile).Content), new Vector3(0, 2.1f, 8.5f), 0, 0);
        Assert.Contains("mapping \"wall\" on \"Panel\": its pixels move: the picture lies where they are at rest, and stays there", report.Notes);
    }

    [Fact]
    public void No_more_is_laid_than_a_rig_file_holds()
    {
        var fixtures = string.Concat(Enumerable.Repeat(Fixture("Panel", "panel.gdtf", "<Mapping linkedDef=\"M1\"/>", Upright), 1002));
        var report = Import(Archive(Definition("400", "200") + Layers(fixtures)));
        Assert.Equal(1000, MvrFile.Load(report.RigFile).Content.Count);
        Assert.Contains("mapping \"wall\" on \"Panel (1001)\" and others, 2 fixtures in all: a rig of this size has 1000 entries of content at most",
            report.Notes);
    }

    /// <summary>What a world point shows, in pixels of the 400 by 200 source, thrown along the rectangle's normal.</summary>
    private static void Shows(ContentPlacement content, Vector3 at, float x, float y)
    {
        Assert.True(Matrix4x4.Invert(new Matrix4x4(
            content.Across.X, content.Across.Y, content.Across.Z, 0, content.Down.X, content.Down.Y, content.Down.Z, 0,
            Vector3.Cross(content.Across, content.Down).X, Vector3.Cross(content.Across, content.Down).Y, Vector3.Cross(content.Across, content.Down).Z, 0,
            0, 0, 0, 1), out var back));
        var share = Vector3.Transform(at - content.Corner, back);
        Near(new Vector3(x, y, 0), new Vector3(share.X * 400, share.Y * 200, share.Z));
    }

    private static void Near(Vector3 expected, Vector3 got) => Assert.True(Vector3.Distance(expected, got) < .01f, $"{got} instead of {expected}");

    private static string Map(string ux, string uy, string ox, string oy, string more = "") =>
        $"<Mapping linkedDef=\"M1\"><ux>{ux}</ux><uy>{uy}</uy><ox>{ox}</ox><oy>{oy}</oy>{more}</Mapping>";

    private static string Definition(string x, string y, string scale = "", string more = "") =>
        $"""
        <AUXData><MappingDefinition name="wall" uuid="M1"><SizeX>{x}</SizeX><SizeY>{y}</SizeY><Source type="File">still.png</Source>{scale}</MappingDefinition>
        {more}</AUXData>
        """;

    private static string Fixture(string name, string spec, string mappings, string placed) =>
        $"<Fixture name=\"{name}\" uuid=\"\">{placed}<GDTFSpec>{spec}</GDTFSpec><GDTFMode>One</GDTFMode><Mappings>{mappings}</Mappings></Fixture>";

    private static string Layers(string fixtures) => $"<Layers><Layer name=\"A\" uuid=\"L1\"><ChildList>{fixtures}</ChildList></Layer></Layers>";

    private static byte[] Of(string mapping, string? definition = null) =>
        Archive((definition ?? Definition("400", "200")) + Layers(Fixture("Panel", "panel.gdtf", mapping, Upright)));

    /// <summary>With our own profiles, as StageView's export names them.</summary>
    private static byte[] Archive(string scene) => ArchiveMaker.Zip(
        ("GeneralSceneDescription.xml", Encoding.UTF8.GetBytes($"""
            <GeneralSceneDescription verMajor="1" verMinor="6"><UserData><Data provider="StageView"><Profile spec="panel.gdtf" file="panel.fixture.jsonc"/>
            <Profile spec="bent.gdtf" file="bent.fixture.jsonc"/></Data></UserData><Scene>{scene}</Scene></GeneralSceneDescription>
            """)),
        ("panel.fixture.jsonc", Encoding.UTF8.GetBytes(Panel)), ("bent.fixture.jsonc", Encoding.UTF8.GetBytes(Bent)), ("two.gdtf", MvrFile.TwoBreaks()),
        ("still.png", Png(400, 200)), ("words.mp4", "#EXTM3U elsewhere"u8.ToArray()), ("loop.mp4", [0, 0, 0, 16, .. "ftypisom"u8, 0, 0, 0, 0]));

    /// <summary>The head of a PNG file (ISO/IEC 15948): signature and IHDR.</summary>
    private static byte[] Png(int width, int height)
    {
        var bytes = new byte[33];
        ReadOnlySpan<byte> head = [0x89, .. "PNG"u8, 13, 10, 26, 10, 0, 0, 0, 13, .. "IHDR"u8];
        head.CopyTo(bytes);
        BinaryPrimitives.WriteInt32BigEndian(bytes.AsSpan(16), width);
        BinaryPrimitives.WriteInt32BigEndian(bytes.AsSpan(20), height);
        return bytes;
    }

    private ImportReport Import(byte[] mvr) => MvrFile.Import(_temp, mvr, "show");

    private RigScene Loaded(byte[] mvr) => MvrFile.Load(Import(mvr).RigFile);
}
