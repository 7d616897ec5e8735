using System.Diagnostics;
using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.ModelReaders;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Solids;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Mvr;

/// <summary>MVR files of our own, after DIN SPEC 15801:2023-12: matrices in mm with row vectors, absolute addresses, layers, symbols.</summary>
public sealed class MvrTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static byte[] TwoBreaks() => ArchiveMaker.Gdtf(ArchiveMaker.Description(
        "<Geometry Name=\"Base\"><Axis Name=\"Head\"><Beam Name=\"Lens\" BeamType=\"Spot\"/></Axis></Geometry>",
        ArchiveMaker.Channel("Head", "Pan", "1,2", "270", "-270") + ArchiveMaker.Channel("Lens", "Dimmer", "1", brk: "2")));

    private static byte[] Mvr(string scene, params (string, byte[])[] more) => ArchiveMaker.Zip(
    [
        ("GeneralSceneDescription.xml",
            Encoding.UTF8.GetBytes($"<GeneralSceneDescription verMajor=\"1\" verMinor=\"6\"><Scene>{scene}</Scene></GeneralSceneDescription>")),
        .. more,
    ]);

    private ImportReport Import(byte[] mvr, string name = "show")
    {
        var path = Path.Combine(_temp.Folder, name + ".mvr");
        File.WriteAllBytes(path, mvr);
        Assert.True(MvrImporter.TryImport(path, Path.Combine(_temp.Folder, name), out var report, out var problem), problem?.ToString());
        return report;
    }

    private string Refused(byte[] mvr)
    {
        var path = Path.Combine(_temp.Folder, "bad.mvr");
        File.WriteAllBytes(path, mvr);
        var folder = Path.Combine(_temp.Folder, "bad");
        Assert.False(MvrImporter.TryImport(path, folder, out _, out var problem));
        Assert.False(Directory.Exists(folder));
        return problem!.ToString();
    }

    private static RigScene Load(string path)
    {
        Assert.True(RigLoader.TryLoad(path, out var rig, out var problems), string.Join('\n', problems.Take(5)));
        return rig;
    }

    [Fact]
    public void A_scene_comes_in_with_its_matrices_addresses_layers_and_models()
    {
        var box = TdsWriter.Write(UnitMeshes.All[UnitMeshes.Box]);
        var report = Import(Mvr("""
            <AUXData>
              <Symdef uuid="S1" name="s"><ChildList><Geometry3D fileName="box"><Matrix>{2,0,0}{0,2,0}{0,0,2}{0,0,500}</Matrix></Geometry3D></ChildList></Symdef>
              <Class uuid="C1" name="Floor lights"/><Position uuid="P1" name="Front truss"/>
            </AUXData>
            <Layers><Layer name="Lights" uuid="L1"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,1000}</Matrix><ChildList>
              <GroupObject name="g"><Matrix>{0,1,0}{-1,0,0}{0,0,1}{4000,0,0}</Matrix><ChildList>
                <Fixture name="Spot" uuid="F1"><Matrix>{1,0,0}{0,1,0}{0,0,1}{1000,500,250}</Matrix><Classing>C1</Classing><GDTFSpec>two</GDTFSpec>
                  <GDTFMode>One</GDTFMode>
                  <Position>P1</Position><Focus>X1</Focus><FixtureID>101</FixtureID><Addresses><Address break="0">513</Address><Address break="1">3.7</Address>
                    </Addresses><Mappings><Mapping/></Mappings></Fixture>
                <Fixture name="Spot" uuid="F2"><GDTFSpec>nowhere.gdtf</GDTFSpec><FixtureID></FixtureID><Addresses><Address break="0">0</Address></Addresses>
                  </Fixture>
              </ChildList></GroupObject>
              <FocusPoint name="centre" uuid="X1"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,2000,0}</Matrix></FocusPoint>
              <Truss name="t" uuid="T1"><Geometries><Symbol uuid="y" symdef="S1"><Matrix>{1,0,0}{0,1,0}{0,0,1}{0,0,0}</Matrix></Symbol></Geometries></Truss>
              <SceneObject name="empty" uuid="E1"/>
            </ChildList></Layer></Layers>
            """, ("two.gdtf", TwoBreaks()), ("box.3ds", box)));
        var rig = Load(report.RigFile);
        var spot = rig.Fixtures[0];

        // (1000, 500, 250) turned a quarter (x → y, y → -x): (-500, 1000, 250); moved by 4000 and the layer's 1000: (3.5, 1, 1.25) m.
        Assert.True(Vector3.Distance(new(3.5f, 1, 1.25f), spot.Pose.Position) < 1e-5f, spot.Pose.Position.ToString());
        Assert.True(Vector3.Distance(Vector3.UnitY, spot.Pose.TransformDirection(Vector3.UnitX)) < 1e-5f);

        // 513 = (2 - 1)·512 + 1; break 0 is GDTF's 1 where a 0 is written.
        Assert.Equal(["2.1", "3.7"], spot.Patch.Select(p => p.Start.ToString()));
        Assert.Equal(("F1", "101", "Front truss", "Lights", "Floor lights", "centre"),
            (spot.Uuid, spot.Number, spot.Position, spot.Layer, spot.Class, spot.Focus));
        Assert.Equal("Spot (2)", rig.Fixtures[1].Name);
        Assert.Equal("nowhere (placeholder)", rig.Fixtures[1].Profile.Name);
        var truss = Assert.Single(rig.Scenery);
        Assert.Equal((SceneryKind.Structure, 2f, 1.5f), (truss.Kind, truss.Scale.X, truss.Pose.Position.Z));
        Assert.Equal(new Vector3(0, 2, 1), Assert.Single(rig.FocusPoints).Position);
        foreach (var says in (string[])["nowhere.gdtf is not in the archive", "no such mapping definition", "has no geometry"])
        {
            Assert.Contains(report.Notes, n => n.Contains(says, StringComparison.Ordinal));
        }
    }

    /// <summary>The time is printed; what is asserted is that nothing moved.</summary>
    [Fact]
    public void A_thousand_fixtures_come_back_the_same()
    {
        var random = new Random(3);
        var xml = new StringBuilder("<Layers><Layer name=\"A\" uuid=\"1\"><ChildList>");
        for (var i = 0; i < 1000; i++)
        {
            var q = Quaternion.Normalize(new Quaternion(random.NextSingle() - .5f, random.NextSingle() - .5f, random.NextSingle() - .5f,
                random.NextSingle() - .5f));
            var pose = new Pose(new Vector3(random.NextSingle() * 60 - 30, random.NextSingle() * 60 - 30, random.NextSingle() * 20), q);
            xml.Append(
                CultureInfo.InvariantCulture,
                $"<Fixture name=\"Spot {i}\" uuid=\"{new Guid(i, 0, 0, new byte[8])}\"><Matrix>{MvrMatrix.Write(pose)}</Matrix>"
                + $"<GDTFSpec>two.gdtf</GDTFSpec><GDTFMode>One</GDTFMode><FixtureID>{i + 1}</FixtureID>"
                + $"<Addresses><Address break=\"0\">{(i * 2) + 1}</Address><Address break=\"1\">{51201 + i}</Address></Addresses></Fixture>");
        }

        var mvr = Mvr(xml.Append("</ChildList></Layer></Layers>").ToString(), ("two.gdtf", TwoBreaks()));
        var clock = Stopwatch.StartNew();
        var first = Load(Import(mvr, "first").RigFile);
        using var memory = new MemoryStream();
        Assert.Empty(MvrExporter.Export(first, memory));
        var second = Load(Import(memory.ToArray(), "second").RigFile);
        TestContext.Current.TestOutputHelper?.WriteLine($"import, export, import: {clock.ElapsedMilliseconds} ms");
        Assert.Equal(1000, second.Fixtures.Count);
        var byUuid = second.Fixtures.ToDictionary(f => f.Uuid, StringComparer.OrdinalIgnoreCase);
        foreach (var a in first.Fixtures)
        {
            var b = byUuid[a.Uuid];
            Assert.Equal((a.Name, a.Number, a.Mode.Name, a.Layer), (b.Name, b.Number, b.Mode.Name, b.Layer));
            Assert.Equal(a.Patch, b.Patch);

            // A point 1 m out tells of the turn as well as of the place.
            foreach (var p in (Vector3[])[Vector3.Zero, Vector3.UnitX, Vector3.UnitZ])
            {
                Assert.True(Vector3.Distance(a.Pose.TransformPoint(p), b.Pose.TransformPoint(p)) < 1e-4f, a.Name);
            }
        }
    }

    [Fact]
    public void The_demo_rig_goes_out_and_comes_back_with_profiles_and_patch()
    {
        var first = Load(Repo.Foundry);
        using var memory = new MemoryStream();
        MvrExporter.Export(first, memory);
        var second = Load(Import(memory.ToArray()).RigFile);
        Assert.Equal(first.Fixtures.Select(f => (f.Name, f.Number, Mode: f.Mode.Name, f.Position, Profile: f.Profile.Name)),
            second.Fixtures.Select(f => (f.Name, f.Number, Mode: f.Mode.Name, f.Position, Profile: f.Profile.Name)));
        Assert.All(first.Fixtures.Zip(second.Fixtures), f => Assert.Equal(f.First.Patch, f.Second.Patch));
        Assert.All(first.Fixtures.Zip(second.Fixtures),
            f => Assert.True(Vector3.Distance(f.First.Pose.TransformPoint(Vector3.UnitY), f.Second.Pose.TransformPoint(Vector3.UnitY)) < 1e-4f, f.First.Name));
        Assert.Equal(first.Scenery.Count, second.Scenery.Count);
        Assert.All(first.Scenery.Zip(second.Scenery), s =>
        {
            var (a, b) = (first.Meshes[s.First.Mesh], second.Meshes[s.Second.Mesh]);
            Assert.True(Vector3.Distance(
                s.First.Pose.TransformPoint(MeshScaling.Bounds(a).High * s.First.Scale),
                s.Second.Pose.TransformPoint(MeshScaling.Bounds(b).High * s.Second.Scale)) < 1e-3f, s.First.Name);
        });
    }

    [Fact]
    public void Hostile_and_broken_files_are_refused_with_one_line_and_nothing_written()
    {
        Assert.Contains("not a zip", Refused([1, 2, 3]), StringComparison.Ordinal);
        Assert.Contains("no GeneralSceneDescription.xml", Refused(ArchiveMaker.Zip(("a.txt", [1]))), StringComparison.Ordinal);
        Assert.Contains("leads outside", Refused(Mvr("", ("../../evil.3ds", [1]))), StringComparison.Ordinal);
        Assert.Contains("root should be", Refused(ArchiveMaker.Zip(("GeneralSceneDescription.xml", "<a/>"u8.ToArray()))), StringComparison.Ordinal);
        var symbols = string.Concat(Enumerable.Range(0,
            12).Select(i => $"<Symdef uuid=\"{i}\"><ChildList>{string.Concat(Enumerable.Repeat($"<Symbol symdef=\"{i + 1}\"/>", 10))}</ChildList></Symdef>"));
        Assert.Contains("more than 200000 objects",
            Refused(
                Mvr(
                    $"<AUXData>{symbols}</AUXData><Layers><Layer name=\"a\"><ChildList><SceneObject name=\"x\"><Geometries><Symbol "
                    + $"symdef=\"0\"/></Geometries></SceneObject></ChildList></Layer></Layers>")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_with_files_is_never_written_into()
    {
        var path = Path.Combine(_temp.Folder, "a.mvr");
        File.WriteAllBytes(path, Mvr("<Layers/>"));
        Assert.False(MvrImporter.TryImport(path, _temp.Folder, out _, out var problem));
        Assert.Contains("not empty", problem!.Text, StringComparison.Ordinal);
    }
}
