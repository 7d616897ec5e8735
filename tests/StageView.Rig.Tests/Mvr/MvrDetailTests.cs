using System.Numerics;
using System.Text;
using StageView.Rig.ModelReaders;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Solids;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Mvr;

/// <summary>DIN SPEC 15801:2023-12: what moves with a part of a fixture, fixtures that share a patch, and what is passed over with a word.</summary>
public sealed class MvrDetailTests : IDisposable
{
    private const string Carried = """
        <Layers><Layer name="A" uuid="L1"><ChildList>
          <Fixture name="Mover" uuid="11111111-1111-1111-1111-111111111111"><Matrix>{1,0,0}{0,1,0}{0,0,1}{2000,0,6000}</Matrix><GDTFSpec>two.gdtf</GDTFSpec>
            <GDTFMode>One</GDTFMode><Addresses><Address break="0">1</Address></Addresses>
            <ChildList>
              <Fixture name="Rider" uuid="22222222-2222-2222-2222-222222222222"><Matrix>{0,1,0}{-1,0,0}{0,0,1}{100,0,-250}</Matrix>
                <ChildPosition>Base.Head</ChildPosition><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode></Fixture>
              <SceneObject name="Plate" uuid="33333333-3333-3333-3333-333333333333"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,-500}</Matrix>
                <ChildPosition>Base.Head</ChildPosition><Geometries><Geometry3D fileName="box.3ds"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,-100}</Matrix></Geometry3D>
                  </Geometries></SceneObject>
              <Fixture name="Still" uuid="44444444-4444-4444-4444-444444444444"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,1000,0}</Matrix><GDTFSpec>two.gdtf</GDTFSpec>
                <GDTFMode>One</GDTFMode></Fixture>
              <Fixture name="Lost" uuid="55555555-5555-5555-5555-555555555555"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,-1000}</Matrix>
                <ChildPosition>Base.Tail</ChildPosition><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode></Fixture>
            </ChildList></Fixture>
        </ChildList></Layer></Layers>
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private ImportReport Import(string scene, string name = "show") =>
        MvrFile.Import(_temp, MvrFile.Of(scene, ("two.gdtf", MvrFile.TwoBreaks()), ("box.3ds", TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]))), name);

    private static void AssertCarried(RigScene rig)
    {
        Fixture Of(string name) => rig.Fixtures.Single(f => f.Name == name);
        var (mover, rider) = (Of("Mover"), Of("Rider"));
        Assert.Equal(new CarrierPart(mover.Index, 1), rider.Carrier);
        Assert.True(Vector3.Distance(new(.1f, 0, -.25f), rider.Pose.Position) < 1e-5f);
        Assert.True(Vector3.Distance(Vector3.UnitY, rider.Pose.TransformDirection(Vector3.UnitX)) < 1e-5f);
        var plate = Assert.Single(rig.Scenery);
        Assert.Equal(new CarrierPart(mover.Index, 1), plate.Carrier);
        Assert.Equal(-.6f, plate.Pose.Position.Z, 5);
        Assert.Null(Of("Still").Carrier);
        Assert.True(Vector3.Distance(new(2, 1, 6), Of("Still").Pose.Position) < 1e-5f);
        Assert.Null(Of("Lost").Carrier);
        Assert.True(Vector3.Distance(new(2, 0, 5), Of("Lost").Pose.Position) < 1e-5f);
    }

    [Fact]
    public void Child_position_hangs_things_on_a_moving_part_and_comes_back()
    {
        var report = Import(Carried);
        var first = MvrFile.Load(report.RigFile);
        AssertCarried(first);
        Assert.Contains(report.Notes, n => n.Contains("\"Lost\": its ChildPosition Base.Tail is no part of \"Mover\"", StringComparison.Ordinal));
        using var memory = new MemoryStream();
        MvrExporter.Export(first, memory);
        AssertCarried(MvrFile.Load(MvrFile.Import(_temp, memory.ToArray(), "again").RigFile));
    }

    /// <summary>Under the rider are a plate and a focus point that name no part: they are where the rider is, and go where it goes.</summary>
    [Fact]
    public void What_a_carried_fixture_holds_is_carried_with_it()
    {
        const string Held = """
              <ChildList>
                <SceneObject name="Held" uuid="66666666-6666-6666-6666-666666666666"><Matrix>{1,0,0}{0,1,0}{0,0,1}{10,0,0}</Matrix>
                  <Geometries><Geometry3D fileName="box.3ds"/></Geometries></SceneObject>
                <FocusPoint name="Mark" uuid="77777777-7777-7777-7777-777777777777"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,-1000}</Matrix></FocusPoint>
              </ChildList></Fixture>
            """;
        var rider = Carried.IndexOf("</Fixture>", StringComparison.Ordinal);
        var scene = Carried[..rider] + Held + Carried[(rider + "</Fixture>".Length)..];
        var rig = MvrFile.Load(Import(scene).RigFile);
        var held = rig.Scenery.Single(p => p.Name == "Held");
        Assert.Equal(new CarrierPart(rig.Fixtures.Single(f => f.Name == "Mover").Index, 1), held.Carrier);

        // The rider's x is the mover's y.
        Assert.True(Vector3.Distance(new(.1f, .01f, -.25f), held.Pose.Position) < 1e-5f, held.Pose.ToString());
        var mark = Assert.Single(rig.FocusPoints);
        Assert.True(Vector3.Distance(new(2.1f, 0, 4.75f), mark.Position) < 1e-5f, mark.ToString());
    }

    [Fact]
    public void A_multipatch_shares_its_patch_and_comes_back()
    {
        static string Spot(int n, string more, string address) =>
            $"<Fixture name=\"S{n}\" uuid=\"{new Guid(n, 0, 0, new byte[8])}\" "
            + $"{more}><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode>{(address.Length > 0 ? $"<Addresses><Address "
            + $"break=\"0\">{address}</Address></Addresses>" : "")}</Fixture>";
        var spots = Spot(1, "", "5") + Spot(2, $"multipatch=\"{new Guid(1, 0, 0, new byte[8])}\"", "") + Spot(3, "", "5")
            + Spot(4, "multipatch=\"nobody\"", "9");
        var report = Import($"<Layers><Layer name=\"A\"><ChildList>{spots}</ChildList></Layer></Layers>");
        var first = MvrFile.Load(report.RigFile);
        using var memory = new MemoryStream();
        MvrExporter.Export(first, memory);
        foreach (var rig in (RigScene[])[first, MvrFile.Load(MvrFile.Import(_temp, memory.ToArray(), "again").RigFile)])
        {
            Assert.Equal([-1, 0, 0, -1], rig.Fixtures.Select(f => f.SharesPatchOf.Value));
            Assert.Equal(["1.5", "1.5", "1.5", "1.9"], rig.Fixtures.Select(f => f.Patch[0].Start.ToString()));
        }

        Assert.Contains(report.Notes, n => n.Contains("\"S4\": its multipatch nobody is not used: no fixture has that uuid", StringComparison.Ordinal));
        Assert.Contains(report.Notes, n => n.Contains("1 fixture has the addresses of another", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("\"sharesPatchOf\": \"lef\"", "no fixture named \"lef\": did you mean \"left\"?")]
    [InlineData("\"sharesPatchOf\": \"b\"", "can't share its own patch")]
    [InlineData("\"sharesPatchOf\": \"left\", \"patch\": \"3.1\"", "has an address of its own")]
    [InlineData("\"sharesPatchOf\": \"head\"", "only fixtures of one mode follow the same levels")]
    [InlineData("\"sharesPatchOf\": \"third\"", "shares a patch itself: name the one that is patched, \"left\"")]
    public void Sharing_what_can_not_be_shared_is_refused(string how, string says)
    {
        var problems = _temp.Refused($$"""
            { "hangs": [
              { "name": "left", "profile": "front-profile", "patch": "1.1" },
              { "name": "head", "profile": "spot-head", "patch": "2.1" },
              { "name": "third", "profile": "front-profile", "sharesPatchOf": "left" },
              { "name": "b", "profile": "front-profile", {{how}} } ] }
            """);
        Assert.Contains(problems, p => p.Line == 5 && p.Text.Contains(says, StringComparison.Ordinal));
    }

    [Fact]
    public void What_is_passed_over_is_told_kind_by_kind_and_what_tells_people_apart_is_kept()
    {
        var report = Import("""
            <AUXData><MappingDefinition name="m" uuid="M1"/></AUXData>
            <Layers><Layer name="A"><ChildList>
              <Fixture name="One" uuid="U1"><GDTFSpec>two.gdtf</GDTFSpec><FixtureID/><FixtureIDNumeric>77</FixtureIDNumeric><UnitNumber>4</UnitNumber>
                <Function>key light</Function><CastShadow>false</CastShadow><Color>{0.5,0.4,100}</Color>
                <Mappings><Mapping linkedDef="M1"/></Mappings><Overwrites><Overwrite universal="U" target="T"/></Overwrites><Alignments><Alignment/>
                  </Alignments><CustomCommands><CustomCommand>x</CustomCommand></CustomCommands>
                <Connections><Connection own="a"/></Connections><Protocols><Protocol name="x"/></Protocols><Gobo rotation="1">g.png</Gobo><Oddity>1</Oddity>
                  </Fixture>
              <Fixture name="Two" uuid="U2"><GDTFSpec>two.gdtf</GDTFSpec><CastShadow>true</CastShadow><Color>{0.3127,0.329,100}</Color>
                <UnitNumber>0</UnitNumber><Mappings><Mapping linkedDef="M1"/><Mapping linkedDef="M1"/></Mappings></Fixture>
              <VideoScreen name="Wall" uuid="V1"><Geometries><Geometry3D fileName="box.3ds"/></Geometries><Sources>
                <Source linkedGeometry="Front" type="NDI">feed a</Source></Sources></VideoScreen>
              <Projector name="Beamer" uuid="P1"><Geometries><Geometry3D fileName="box.3ds"/></Geometries><Projections><Projection>
                <Source type="File">film.mp4</Source><ScaleHandeling>UpScale</ScaleHandeling></Projection></Projections></Projector>
              <Truss name="T" uuid="T1"><Geometries><Geometry3D fileName="box.3ds"/></Geometries><GDTFSpec>truss.gdtf</GDTFSpec></Truss>
            </ChildList></Layer></Layers>
            """);
        foreach (var says in (string[])["mapping \"m\" on \"One\" and others, 2 fixtures in all: it has no source", "overwrites of two.gdtf: Universal.gdtt",
            "Alignments of", "CustomCommands of", "the connection from One \"a\" to ", "Protocols of", "Gobo of", "Oddity of",
            "CastShadow of Fixture \"One\": not used",
            "the NDI source \"feed a\" for Front is not shown", "Projector \"Beamer\": the File source \"film.mp4\"", "Projections of Projector",
            "GDTFSpec of Truss"])
        {
            Assert.Contains(report.Notes, n => n.Contains(says, StringComparison.Ordinal));
        }

        var rig = MvrFile.Load(report.RigFile);
        Assert.Equal("77", rig.Fixtures[0].Number);

        // .5, .4 at full luminance is an orange filter; white is none. It goes out and comes back.
        Assert.True(rig.Fixtures[0].Filter is { X: 1, Z: < .3f }, rig.Fixtures[0].Filter.ToString());
        Assert.Equal(Vector3.One, rig.Fixtures[1].Filter);
        using var memory = new MemoryStream();
        MvrExporter.Export(rig, memory);
        var again = MvrFile.Load(MvrFile.Import(_temp, memory.ToArray(), "again").RigFile);
        Assert.Equal(["VideoScreen", "Projector", ""], again.Scenery.Select(x => x.MvrElement));
        Assert.True(Vector3.Distance(rig.Fixtures[0].Filter, again.Fixtures[0].Filter) < .002f);
        Assert.Contains("\"notes\": \"Function key light, UnitNumber 4\"", File.ReadAllText(report.RigFile), StringComparison.Ordinal);
    }

    /// <summary>An object of two meshes comes in as two pieces of one identity and goes out as one object.</summary>
    [Fact]
    public void Meshes_of_one_object_stay_one_object()
    {
        var report = Import("""
            <Layers><Layer name="A"><ChildList><Truss name="Tower" uuid="77777777-7777-7777-7777-777777777777">
              <Matrix>{0,1,0}{-1,0,0}{0,0,1}{3000,0,1000}</Matrix><Geometries>
              <Geometry3D fileName="box.3ds"><Matrix>{2,0,0}{0,1,0}{0,0,3}{500,0,0}</Matrix></Geometry3D><Geometry3D fileName="box.3ds">
                <Matrix>{0,0,1}{0,1,0}{-1,0,0}{0,0,4000}</Matrix></Geometry3D></Geometries></Truss></ChildList></Layer></Layers>
            """);
        var first = MvrFile.Load(report.RigFile);
        using var memory = new MemoryStream();
        MvrExporter.Export(first, memory);
        using (var zip = new System.IO.Compression.ZipArchive(memory, System.IO.Compression.ZipArchiveMode.Read, leaveOpen: true))
        using (var xml = zip.GetEntry("GeneralSceneDescription.xml")!.Open())
        {
            var truss = Assert.Single(System.Xml.Linq.XDocument.Load(xml).Descendants("Truss"));
            Assert.Equal(("Tower", 2), (truss.Attribute("name")!.Value, truss.Descendants("Geometry3D").Count()));
        }

        var second = MvrFile.Load(MvrFile.Import(_temp, memory.ToArray(), "again").RigFile);
        Assert.Equal(["Tower 1", "Tower 2"], second.Scenery.Select(x => x.Name));
        Assert.All(first.Scenery.Zip(second.Scenery), x =>
        {
            foreach (var corner in (Vector3[])[new(.5f), new(-.5f, .5f, .5f), new(.5f, -.5f, -.5f)])
            {
                Assert.True(Vector3.Distance(x.First.Pose.TransformPoint(corner * x.First.Scale), x.Second.Pose.TransformPoint(corner * x.Second.Scale))
                    < 1e-4f, x.First.Name);
            }
        });
    }

    [Fact]
    public void Hostile_scenes_are_refused_with_one_line()
    {
        string Refused(byte[] mvr)
        {
            var path = Path.Combine(_temp.Folder, "bad.mvr");
            File.WriteAllBytes(path, mvr);
            Assert.False(MvrImporter.TryImport(path, Path.Combine(_temp.Folder, "bad"), out _, out var problem));
            Assert.False(Directory.Exists(Path.Combine(_temp.Folder, "bad")));
            Assert.DoesNotContain('\n', problem!.ToString());
            return problem.ToString();
        }

        static byte[] Scene(string text) => ArchiveMaker.Zip(("GeneralSceneDescription.xml", Encoding.UTF8.GetBytes(text)));
        Assert.Contains("unpacks to more than 64 MiB", Refused(ArchiveMaker.Zip(("GeneralSceneDescription.xml", new byte[65 << 20]))),
            StringComparison.Ordinal);
        Assert.Contains("document type definition",
            Refused(Scene("<!DOCTYPE a [<!ENTITY b SYSTEM \"file:///etc/hostname\">]><GeneralSceneDescription>&b;</GeneralSceneDescription>")),
            StringComparison.Ordinal);
        Assert.Contains("deeper than 64 levels", Refused(Scene(string.Concat(Enumerable.Repeat("<ChildList>", 10_000)))), StringComparison.Ordinal);
        Assert.Contains("no such file", NoFile(), StringComparison.Ordinal);

        string NoFile()
        {
            Assert.False(MvrImporter.TryImport(Path.Combine(_temp.Folder, "gone.mvr"), Path.Combine(_temp.Folder, "bad"), out _, out var problem));
            return problem!.ToString();
        }
    }

    [Fact]
    public void Any_damage_gives_a_rig_or_a_line_never_an_exception()
    {
        var random = new Random(9);
        var scene = "<AUXData><Symdef uuid=\"S\" name=\"s\"><ChildList><Geometry3D fileName=\"box.3ds\"/></ChildList></Symdef></AUXData>" + Carried;
        for (var i = 0; i < 150; i++)
        {
            var text = new StringBuilder(scene);
            for (var k = 0; k < 3; k++)
            {
                text[random.Next(text.Length)] = (char)random.Next(32, 127);
            }

            var path = Path.Combine(_temp.Folder, "damaged.mvr");
            File.WriteAllBytes(path, MvrFile.Of(text.ToString(), ("two.gdtf", MvrFile.TwoBreaks()),
                ("box.3ds", TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]))));
            var folder = Path.Combine(_temp.Folder, $"d{i}");
            if (MvrImporter.TryImport(path, folder, out var report, out var problem))
            {
                RigLoader.TryLoad(report.RigFile, out _, out _);
                Assert.All(Directory.GetFiles(_temp.Folder, "*", SearchOption.AllDirectories),
                    f => Assert.True(f == path || f.StartsWith(Path.Combine(_temp.Folder, "d"), StringComparison.Ordinal), f));
            }
            else
            {
                Assert.NotEqual("", problem!.Text);
            }
        }
    }

    /// <summary>Addresses count through all universes from 1, or are written universe.address; 0 is none; anything else is told.</summary>
    [Theory]
    [InlineData("1", "1.1", "")]
    [InlineData("511", "1.511", "")]
    [InlineData("513", "2.1", "")]
    [InlineData("3.7", "3.7", "")]
    [InlineData("0", "", "")]
    [InlineData("", "", "")]
    [InlineData("1.513", "", "the address \"1.513\" is left out")]
    [InlineData("70000.1", "", "the address \"70000.1\" is left out")]
    [InlineData("-1", "", "the address \"-1\" is left out")]
    [InlineData("32767489", "", "the address \"32767489\" is left out")]
    public void An_address_is_taken_or_told(string written, string start, string says)
    {
        var report = Import("<Layers><Layer><ChildList><Fixture name=\"F\" uuid=\"1\"><GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode><Addresses>"
            + $"<Address break=\"1\">{written}</Address></Addresses></Fixture></ChildList></Layer></Layers>");
        Assert.Equal(start, string.Join(' ', MvrFile.Load(report.RigFile).Fixtures[0].Patch.Select(p => p.Start)));
        Assert.Equal(says.Length > 0 ? 1 : 0, report.Notes.Count(n => n.Contains("address", StringComparison.Ordinal)));
        Assert.Contains(report.Notes.Append(says), n => n.Contains(says, StringComparison.Ordinal));
    }

    /// <summary>A GDTF, a mesh or a symbol that the scene names and the archive lacks: the rest comes in, each with its line.</summary>
    [Fact]
    public void What_the_archive_lacks_is_told()
    {
        var report = Import("<Layers><Layer name=\"A\"><ChildList><Fixture name=\"F\" uuid=\"1\"><GDTFSpec>gone.gdtf</GDTFSpec></Fixture>"
            + "<SceneObject name=\"o\"><Geometries><Geometry3D fileName=\"gone.3ds\"/><Symbol symdef=\"gone\"/></Geometries></SceneObject>"
            + "</ChildList></Layer></Layers>");
        foreach (var says in (string[])["gone.gdtf is not in the archive", "model gone.3ds is not in the archive", "Symbol (line 1): not found"])
        {
            Assert.Contains(report.Notes, n => n.Contains(says, StringComparison.Ordinal));
        }

        Assert.Equal("gone (placeholder)", MvrFile.Load(report.RigFile).Fixtures[0].Profile.Name);
    }
}
