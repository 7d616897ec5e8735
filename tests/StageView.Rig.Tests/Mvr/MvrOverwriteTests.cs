using System.IO.Compression;
using System.Numerics;
using System.Xml.Linq;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Mvr;

/// <summary>DIN SPEC 15801, Overwrite: wheel slots, emitters and filters of a fixture's type take those of Universal.gdtt.</summary>
public sealed class MvrOverwriteTests : IDisposable
{
    private const string Own = """
        <Wheels><Wheel Name="Colours"><Slot Name="Open" Color="0.3127,0.329,100"/><Slot Name="Filled" Color="0.64,0.33,21"/></Wheel>
          <Wheel Name="Gobos"><Slot Name="Open"/><Slot Name="Shape" MediaFileName="dots"/></Wheel></Wheels>
        <PhysicalDescriptions><Emitters><Emitter Name="Red" Color="0.69,0.30,20"/></Emitters>
          <Filters><Filter Name="Frame" Color="0.3127,0.329,80"/></Filters></PhysicalDescriptions>
        """;

    private const string Universal = """
        <Wheels><Wheel Name="U Colours"><Slot Name="U Blue" Color="0.15,0.06,7"/><Slot Name="U Gel" Color="0.3,0.3,50" Filter="U Green"/></Wheel>
          <Wheel Name="U Gobos"><Slot Name="U Leaves" MediaFileName="dots.png"/><Slot Name="U Lost" MediaFileName="lost"/></Wheel></Wheels>
        <PhysicalDescriptions><Emitters><Emitter Name="U Deep" Color="0.70,0.29,10"/></Emitters>
          <Filters><Filter Name="U Green" Color="0.30,0.60,60"/>
            <Filter Name="U Glass" Color="0.64,0.33,21">
              <Measurement Physical="100" Transmission="20" InterpolationTo="Linear"><MeasurementPoint WaveLength="400" Energy="0"/>
              <MeasurementPoint WaveLength="640" Energy="0"/><MeasurementPoint WaveLength="700" Energy="1"/></Measurement></Filter></Filters>
          </PhysicalDescriptions>
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_slot_takes_the_template_s_colour_and_keeps_its_name()
    {
        var rig = Rig(Fixture("A", "1", Over("U Colours.U Blue", "Colours.Filled")) + Fixture("B", "11", "")
            + Fixture("C", "21", Over("U Colours.U Blue", "Colours.Filled")), out var report);
        Assert.DoesNotContain(report.Notes, n => n.Contains("verwr", StringComparison.Ordinal));
        WheelSlot Slot(int fixture) => rig.Fixtures[fixture].Profile.Wheels[0].Slots[1];
        Assert.Equal("Filled", Slot(0).Name);
        // Rec.709 (ITU-R BT.709): its blue primary is at .15, .06, its red one at .64, .33.
        Assert.True(Slot(0).Colour is { Z: > .9f, X: < .05f }, $"{Slot(0).Colour}");
        Assert.True(Slot(1).Colour is { X: > .9f, Z: < .05f }, $"{Slot(1).Colour}");

        // The two that overwrite the same share a file; the one that doesn't has the type's own.
        Assert.Equal(["fixtures/head-overwritten.gdtf", "fixtures/head.gdtf"],
            report.Written.Where(w => w.EndsWith(".gdtf", StringComparison.Ordinal)).Order());
        Assert.Equal(["head-overwritten.gdtf", "head.gdtf", "head-overwritten.gdtf"], rig.Fixtures.Select(f => Path.GetFileName(f.Profile.File)));
    }

    [Fact]
    public void An_emitter_and_a_filter_take_the_template_s()
    {
        var profile = Rig(Fixture("A", "1", Over("U Deep", "Red") + Over("U Green", "Frame")), out _).Fixtures[0].Profile;
        var emitter = Assert.Single(profile.Emitters);
        Assert.Equal(("Red", .70f, .29f), (emitter.Name, emitter.X, emitter.Y));
        // .30, .60 is Rec.709's green primary.
        Assert.True(Assert.Single(profile.Filters) is { Name: "Frame", Colour: { Y: > .5f, X: < .05f, Z: < .05f } }, $"{profile.Filters[0]}");
    }

    [Fact]
    public void A_slot_brings_its_picture_and_its_filter_along()
    {
        var rig = Rig(Fixture("A", "1", Over("U Gobos.U Leaves", "Gobos.Shape") + Over("U Colours.U Gel", "Colours.Filled")), out var report);
        Assert.True(rig.Fixtures[0].Profile.Wheels[0].Slots[1].Colour is { Y: > .5f, X: < .05f, Z: < .05f });
        using var zip = ZipFile.OpenRead(Path.Combine(Path.GetDirectoryName(report.RigFile)!, "fixtures", "head-overwritten.gdtf"));
        byte[] Bytes(string name)
        {
            using var from = zip.GetEntry(name)!.Open();
            using var to = new MemoryStream();
            from.CopyTo(to);
            return to.ToArray();
        }

        // Both archives have a picture "dots": the type's stays, the template's gets a free name.
        Assert.Equal([1], Bytes("wheels/dots.png"));
        Assert.Equal([2], Bytes("wheels/dots-2.png"));
        var type = XDocument.Load(new MemoryStream(Bytes("description.xml"))).Root!.Element("FixtureType")!;
        Assert.Equal("dots-2", type.Descendants("Slot").Single(s => (string?)s.Attribute("Name") == "Shape").Attribute("MediaFileName")!.Value);

        // A changed GDTF says so by a revision (DIN SPEC 15801).
        Assert.Single(type.Descendants("Revision"));
    }

    [Fact]
    public void A_whole_wheel_takes_the_template_s_slots()
    {
        var wheel = Rig(Fixture("A", "1", Over("U Colours", "Colours")), out _).Fixtures[0].Profile.Wheels[0];
        Assert.Equal("Colours", wheel.Name);
        Assert.Equal(["U Blue", "U Gel"], wheel.Slots.Select(s => s.Name));
    }

    // "When no target is given, it will be like a static gobo or filter that you attach in front of all beams."
    [Fact]
    public void A_filter_without_a_target_lies_in_front_of_all_beams()
    {
        var rig = Rig(Fixture("A", "1", Over("U Green", "")) + Fixture("B", "11", Over("U Colours.U Gel", ""))
            + Fixture("C", "21", Over("U Colours.U Blue", "")) + Fixture("D", "31", "") + Fixture("E", "41", Over("U Glass", "")), out var report);
        Assert.DoesNotContain(report.Notes, n => n.Contains("verwr", StringComparison.Ordinal));
        Assert.True(rig.Fixtures[0].Filter is { Y: > .5f, X: < .05f, Z: < .05f }, $"{rig.Fixtures[0].Filter}");
        Assert.Equal(rig.Fixtures[0].Filter, rig.Fixtures[1].Filter);
        Assert.True(rig.Fixtures[2].Filter is { Z: > .9f, X: < .05f, Y: < .05f }, $"{rig.Fixtures[2].Filter}");
        Assert.Equal(Vector3.One, rig.Fixtures[3].Filter);

        // A deep red by its spectrum is beyond Rec.709: what would be negative is nothing.
        Assert.True(rig.Fixtures[4].Filter is { X: > .01f, Y: 0 }, $"{rig.Fixtures[4].Filter}");
        Assert.All(rig.Fixtures, f => Assert.Equal("head.gdtf", Path.GetFileName(f.Profile.File)));
    }

    [Fact]
    public void What_can_t_be_overwritten_is_told_with_its_names()
    {
        var rig = Rig(Fixture("A", "1", Over("U Colours.U Gone", "Colours.Filled") + Over("U Deep", "Gone") + Over("U Deep", "Frame")
            + Over("U Gobos.U Leaves", "") + Over("U Gone", "")
            + Over("U Gobos.U Lost", "Gobos.Shape")) + "<Fixture name=\"Box\" uuid=\"\"><GDTFSpec>none.gdtf</GDTFSpec><Overwrites>"
            + Over("U Deep", "Red") + "</Overwrites></Fixture>", out var report);
        string[] expected =
        [
            "overwrite \"U Colours.U Gone\" of head.gdtf, \"Colours.Filled\": Universal.gdtt has no wheel, slot, emitter or filter of that name",
            "overwrite \"U Deep\" of head.gdtf, \"Gone\": the fixture's type has no wheel, slot, emitter or filter of that name",
            "overwrite \"U Deep\" of head.gdtf, \"Frame\": they are of different kinds (Emitter, Filter)",
            "overwrite \"U Gobos.U Leaves\" of fixture \"A\": only filters and colours are put in front of all beams",
            "overwrite \"U Gone\" of fixture \"A\": is not in Universal.gdtt",
            "Universal.gdtt: wheels/lost.png is not in it, or can't be read",
            "overwrites of fixtures without a GDTF file: not used",
        ];
        Assert.All(expected, e => Assert.Contains(e, report.Notes));
        Assert.Equal(["Open", "Shape"], rig.Fixtures[0].Profile.Wheels[1].Slots.Select(s => s.Name));
    }

    [Fact]
    public void Without_a_template_the_type_is_used_as_it_is()
    {
        var report = MvrFile.Import(_temp, MvrFile.Of(Layers(Fixture("A", "1", Over("U Deep", "Red"))), ("head.gdtf", Head())), "bare");
        Assert.Equal("head.gdtf", Path.GetFileName(MvrFile.Load(report.RigFile).Fixtures[0].Profile.File));
        Assert.Contains(report.Notes, n => n.StartsWith("overwrites of head.gdtf: Universal.gdtt is not in the archive", StringComparison.Ordinal));
    }

    // Fixtures that share a patch follow the same levels in one profile: the one that is patched decides.
    [Fact]
    public void Fixtures_of_one_patch_overwrite_the_same()
    {
        var rig = Rig(Fixture("A", "1", Over("U Deep", "Red")) + Fixture("B", "1", ""), out var report);
        Assert.Equal(["head-overwritten.gdtf", "head-overwritten.gdtf"], rig.Fixtures.Select(f => Path.GetFileName(f.Profile.File)));
        Assert.Contains("\"B\" shares the patch of \"A\": what that one overwrites holds for it, too", report.Notes);
    }

    private RigScene Rig(string fixtures, out ImportReport report)
    {
        report = MvrFile.Import(_temp, MvrFile.Of(Layers(fixtures), ("head.gdtf", Head()),
            ("Universal.gdtt", ArchiveMaker.Gdtf(ArchiveMaker.Description("<Geometry Name=\"Base\"/>", "", Universal), ("wheels/dots.png", [2])))), "show");
        return MvrFile.Load(report.RigFile);
    }

    private static byte[] Head() => ArchiveMaker.Gdtf(
        ArchiveMaker.Description("<Geometry Name=\"Base\"><Beam Name=\"Lens\" BeamType=\"Spot\"/></Geometry>",
            ArchiveMaker.Channel("Lens", "Dimmer", "1"), Own), ("wheels/dots.png", [1]));

    private static string Over(string universal, string target) =>
        $"<Overwrite universal=\"{universal}\"{(target.Length > 0 ? $" target=\"{target}\"" : "")}/>";

    private static string Fixture(string name, string address, string overwrites) =>
        $"<Fixture name=\"{name}\" uuid=\"\"><GDTFSpec>head.gdtf</GDTFSpec><GDTFMode>One</GDTFMode>"
        + $"<Addresses><Address break=\"1\">{address}</Address></Addresses><Overwrites>{overwrites}</Overwrites></Fixture>";

    private static string Layers(string fixtures) => $"<Layers><Layer name=\"A\" uuid=\"L1\"><ChildList>{fixtures}</ChildList></Layer></Layers>";
}
