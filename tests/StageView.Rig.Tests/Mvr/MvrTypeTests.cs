using System.IO.Compression;
using System.Xml.Linq;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;

namespace StageView.Rig.Tests.Mvr;

/// <summary>Fixture types of an MVR file (DIN SPEC 15801:2023-12, GDTFSpec and GDTFMode): found as files name them, kept where they are missing.</summary>
public sealed class MvrTypeTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static string Fixtures(params string[] inner) => "<Layers><Layer name=\"A\"><ChildList>"
        + string.Concat(inner.Select((x, i) => $"<Fixture name=\"F{i}\" uuid=\"{new Guid(i + 1, 0, 0, new byte[8])}\">{x}</Fixture>"))
        + "</ChildList></Layer></Layers>";

    [Theory]
    [InlineData("Maker@Type.gdtf", "Maker@Type.gdtf", false)]
    [InlineData("Maker@Type", "Maker@Type.gdtf", false)]
    [InlineData("maker@TYPE.GDTF", "Maker@Type.gdtf", false)]
    [InlineData("Maker@Type ", "Maker@Type.gdtf", false)]
    [InlineData("Maker@My  Type", "Maker@My Type.gdtf", false)]
    [InlineData("Maker@My%20Type.gdtf", "Maker@My Type.gdtf", false)]
    [InlineData("Maker@Type.gdtf", "gdtf/Maker@Type.gdtf", false)]
    [InlineData("Type", "Maker@Type.gdtf", true)]
    [InlineData("type.gdtf", "Maker@Type@rev 2.gdtf", true)]
    [InlineData("Maker@Type.gdtf", "Type.gdtf", true)]
    [InlineData("Maker@Type.gdtf", "Maker@Type@rev 2.gdtf", true)]
    public void A_type_is_found_as_files_name_it(string spec, string entry, bool told)
    {
        var report = MvrFile.Import(_temp, MvrFile.Of(Fixtures($"<GDTFSpec>{spec}</GDTFSpec><GDTFMode>One</GDTFMode>"), (entry, MvrFile.TwoBreaks()),
            ("Other@Thing.gdtf", MvrFile.TwoBreaks())), "m");
        Assert.Equal("Test type", MvrFile.Load(report.RigFile).Fixtures[0].Profile.Name);
        Assert.Equal(told, report.Notes.Any(n => n.Contains($"{entry} is taken for it", StringComparison.Ordinal)));
    }

    [Fact]
    public void Two_types_that_it_may_be_are_told_and_none_is_taken()
    {
        var report = MvrFile.Import(_temp, MvrFile.Of(Fixtures("<GDTFSpec>Type</GDTFSpec>"), ("A@Type.gdtf", MvrFile.TwoBreaks()),
            ("B@Type.gdtf", MvrFile.TwoBreaks())), "m");
        Assert.Contains(report.Notes, n => n.Contains("Type may be A@Type.gdtf or B@Type.gdtf", StringComparison.Ordinal));
        Assert.Equal("Type (placeholder)", MvrFile.Load(report.RigFile).Fixtures[0].Profile.Name);
    }

    /// <summary>A drawing whose types did not come with it goes out with the types, modes and addresses it came with, and comes in again the same.</summary>
    [Fact]
    public void Placeholders_keep_type_mode_and_addresses()
    {
        string[] inner =
        [
            "<GDTFSpec>Maker@One.gdtf</GDTFSpec><GDTFMode>Wide mode</GDTFMode><Addresses><Address break=\"0\">1</Address>"
            + "<Address break=\"1\">2.7</Address></Addresses>",
            "<GDTFSpec>Maker@One.gdtf</GDTFSpec><GDTFMode>Small</GDTFMode><Addresses><Address break=\"0\">100</Address></Addresses>",
            "<GDTFSpec>Maker@Two</GDTFSpec><GDTFMode>Small</GDTFMode>",
            "<GDTFSpec>two</GDTFSpec>",
            "<GDTFMode>Alone</GDTFMode>",
            "",
        ];
        var first = MvrFile.Load(MvrFile.Import(_temp, MvrFile.Of(Fixtures(inner)), "first").RigFile);
        using var memory = new MemoryStream();
        var notes = MvrExporter.Export(first, memory);
        Assert.Contains(notes, n => n.Contains("Maker@One.gdtf: its file is not here", StringComparison.Ordinal));
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Read, leaveOpen: true))
        using (var xml = zip.GetEntry("GeneralSceneDescription.xml")!.Open())
        {
            Assert.Equal(["GeneralSceneDescription.xml"], zip.Entries.Select(e => e.FullName));
            var fixtures = XDocument.Load(xml).Descendants("Fixture").ToList();
            Assert.Equal(["Maker@One.gdtf", "Maker@One.gdtf", "Maker@Two", "two", null, null], fixtures.Select(f => f.Element("GDTFSpec")?.Value));
            Assert.Equal(["Wide mode", "Small", "Small", null, "Alone", null], fixtures.Select(f => f.Element("GDTFMode")?.Value));
        }

        var second = MvrFile.Load(MvrFile.Import(_temp, memory.ToArray(), "second").RigFile);
        foreach (var rig in (RigScene[])[first, second])
        {
            Assert.Equal(["1.1 2.7", "1.100", "", "", "", ""], rig.Fixtures.Select(f => string.Join(' ', f.Patch.Select(p => p.Start))));
            Assert.Equal(["Maker@One (placeholder)", "Maker@One (placeholder)", "Maker@Two (placeholder)", "two (placeholder)", "Placeholder", "Placeholder"],
                rig.Fixtures.Select(f => f.Profile.Name));
        }
    }

    /// <summary>A GDTF that can't be read keeps its name, too.</summary>
    [Fact]
    public void A_type_that_can_not_be_read_keeps_its_name()
    {
        var report = MvrFile.Import(_temp, MvrFile.Of(Fixtures("<GDTFSpec>bad.gdtf</GDTFSpec><GDTFMode>M</GDTFMode>"), ("bad.gdtf", [1, 2, 3])), "m");
        var rig = MvrFile.Load(report.RigFile);
        Assert.Equal(("bad.gdtf", "M"), (rig.Fixtures[0].Profile.StandsFor, rig.Fixtures[0].Mode.Name));
    }
}
