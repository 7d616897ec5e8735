using System.IO.Compression;
using System.Xml.Linq;
using StageView.Rig.Assets;
using StageView.Rig.Checks;
using StageView.Rig.ModelReaders;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Solids;

namespace StageView.Rig.Tests.Mvr;

/// <summary>DIN SPEC 15801: connections, focus points as their table has them, and what is not taken over told for good.</summary>
public sealed class MvrWholeTests : IDisposable
{
    private const string Head = "11111111-1111-1111-1111-111111111111";
    private const string Second = "22222222-2222-2222-2222-222222222222";
    private const string Rack = "33333333-3333-3333-3333-333333333333";

    private const string Scene = $"""
        <AUXData><MappingDefinition name="wall of light" uuid="44444444-4444-4444-4444-444444444444"/></AUXData>
        <Layers><Layer name="A" uuid="L1"><ChildList>
          <Fixture name="Head" uuid="{Head}"><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode>
            <Connections><Connection own="DMX IN" toObject="{Rack}" other="OUT 1"/><Connection own="DMX OUT" toObject="{Second}" other="DMX IN"/>
              <Connection own="POWER" toObject="99999999-9999-9999-9999-999999999999" other="1"/></Connections></Fixture>
          <Fixture name="Head" uuid="{Second}"><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode></Fixture>
          <SceneObject name="Rack" uuid="{Rack}"><Geometries><Geometry3D fileName="box.3ds"/></Geometries>
            <Connections><Connection own="MAINS" toObject="{Head}" other="POWER"/></Connections></SceneObject>
          <FocusPoint name="centre" uuid="55555555-5555-5555-5555-555555555555"><Geometries/></FocusPoint>
        </ChildList></Layer></Layers>
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Connections_become_the_rigs_and_come_back()
    {
        var report = Import();
        Assert.Contains(report.Notes, n => n.Contains("\"POWER\"", StringComparison.Ordinal) && n.Contains("not in the rig", StringComparison.Ordinal));
        var rig = MvrFile.Load(report.RigFile);
        Connection[] expected =
        [
            new("Head", "DMX IN", "Rack", "OUT 1"), new("Head", "DMX OUT", "Head (2)", "DMX IN"), new("Rack", "MAINS", "Head", "POWER"),
        ];
        Assert.Equal(expected, rig.Connections);

        var exported = Exported(rig, out var bytes);
        var head = exported.Descendants("Fixture").First(f => f.Attribute("uuid")!.Value == Head);
        Assert.Equal([("DMX IN", Rack, "OUT 1"), ("DMX OUT", Second, "DMX IN")], head.Element("Connections")!.Elements("Connection")
            .Select(c => (c.Attribute("own")!.Value, c.Attribute("toObject")!.Value, c.Attribute("other")!.Value)));
        Assert.Equal(expected, MvrFile.Load(MvrFile.Import(_temp, bytes, "again").RigFile).Connections);
    }

    // Table of FocusPoint: Geometries, 1.
    [Fact]
    public void A_focus_point_goes_out_with_its_geometries()
    {
        var exported = Exported(MvrFile.Load(Import().RigFile), out _);
        Assert.Equal(["Matrix", "Geometries"], Assert.Single(exported.Descendants("FocusPoint")).Elements().Select(e => e.Name.LocalName));
    }

    [Fact]
    public void What_an_import_passes_over_is_told_by_each_later_check()
    {
        var report = Import();
        Assert.Contains(report.Notes, n => n.Contains("wall of light", StringComparison.Ordinal));
        RigChecker.Check(report.RigFile, RigLoadOptions.Default, out var summary);
        Assert.Equal(report.Notes, summary!.NotTakenOver);
    }

    [Fact]
    public void Pictures_and_films_that_are_sources_are_kept_and_nothing_else_is()
    {
        const string scene = """
            <AUXData><MappingDefinition name="m" uuid="M1"><SizeX>64</SizeX><SizeY>64</SizeY><Source type="File">loop.mp4</Source></MappingDefinition></AUXData>
            <Layers><Layer name="A" uuid="L1"><ChildList>
              <VideoScreen name="Wall" uuid="V1"><Geometries><Geometry3D fileName="box.3ds"/></Geometries><Sources>
                <Source linkedGeometry="Front" type="File">still.png</Source><Source linkedGeometry="Back" type="File">setup.exe</Source>
                <Source linkedGeometry="Side" type="NDI">stream</Source><Source linkedGeometry="Top" type="File">gone.png</Source></Sources></VideoScreen>
            </ChildList></Layer></Layers>
            """;
        var report = MvrFile.Import(_temp, MvrFile.Of(scene, ("box.3ds", TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box])), ("still.png", [1, 2, 3]),
            ("loop.mp4", [4, 5]), ("setup.exe", [6]), ("stream", [7])), "media");
        Assert.Equal(["media/loop.mp4", "media/still.png"], report.Written.Where(w => w.StartsWith("media/", StringComparison.Ordinal)).Order());
        Assert.Equal([1, 2, 3], File.ReadAllBytes(Path.Combine(Path.GetDirectoryName(report.RigFile)!, "media", "still.png")));
        Assert.Contains(report.Notes, n => n.Contains("still.png is written to media/still.png", StringComparison.Ordinal));
        Assert.Contains(report.Notes, n => n.Contains("gone.png is not in the archive", StringComparison.Ordinal));
    }

    [Fact]
    public void A_connection_to_nothing_is_told_with_its_line()
    {
        var rig = _temp.Write("a.rig.jsonc", """
            {
              "scenery": [{ "name": "rack", "shape": "box", "size": [1, 1, 1] }],
              "connections": [{ "from": "rack", "to": "nowhere" }]
            }
            """);
        var problems = RigChecker.Check(rig, RigLoadOptions.Default, out var summary);
        Assert.NotNull(summary);
        Assert.Contains(problems, p => p.Line == 3 && p.Text.Contains("\"nowhere\"", StringComparison.Ordinal));
    }

    private ImportReport Import() => MvrFile.Import(_temp,
        MvrFile.Of(Scene, ("two.gdtf", MvrFile.TwoBreaks()), ("box.3ds", TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]))), "show");

    private static XDocument Exported(RigScene rig, out byte[] bytes)
    {
        using var memory = new MemoryStream();
        MvrExporter.Export(rig, memory);
        bytes = memory.ToArray();
        using var zip = new ZipArchive(new MemoryStream(bytes));
        using var xml = zip.GetEntry("GeneralSceneDescription.xml")!.Open();
        return XDocument.Load(xml);
    }
}
