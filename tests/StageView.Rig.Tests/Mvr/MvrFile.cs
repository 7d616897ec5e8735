using System.Text;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Mvr;

/// <summary>MVR archives of our own.</summary>
internal static class MvrFile
{
    /// <summary>A head with two DMX breaks: pan in the first, dimmer in the second.</summary>
    public static byte[] TwoBreaks() => ArchiveMaker.Gdtf(ArchiveMaker.Description(
        "<Geometry Name=\"Base\"><Axis Name=\"Head\"><Beam Name=\"Lens\" BeamType=\"Spot\"/></Axis></Geometry>",
        ArchiveMaker.Channel("Head", "Pan", "1,2", "270", "-270") + ArchiveMaker.Channel("Lens", "Dimmer", "1", brk: "2")));

    public static byte[] Of(string scene, params (string, byte[])[] more) => ArchiveMaker.Zip(
    [
        ("GeneralSceneDescription.xml",
            Encoding.UTF8.GetBytes($"<GeneralSceneDescription verMajor=\"1\" verMinor=\"6\"><Scene>{scene}</Scene></GeneralSceneDescription>")),
        .. more,
    ]);

    public static ImportReport Import(TempRig temp, byte[] mvr, string name)
    {
        var path = Path.Combine(temp.Folder, name + ".mvr");
        File.WriteAllBytes(path, mvr);
        Assert.True(MvrImporter.TryImport(path, Path.Combine(temp.Folder, name), out var report, out var problem), problem?.ToString());
        return report;
    }

    public static RigScene Load(string path)
    {
        Assert.True(RigLoader.TryLoad(path, out var rig, out var problems), string.Join('\n', problems.Take(5)));
        return rig;
    }
}
