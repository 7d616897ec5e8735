using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Gdtf;

internal static class GdtfReading
{
    public static FixtureProfile? Read(byte[] bytes, out IReadOnlyList<RigProblem> problems)
    {
        var list = new ProblemList();
        var profile = GdtfFile.Read(bytes, "test.gdtf", new RigAssets(), RigLoadOptions.Default, list, new ArchiveBudget());
        problems = list.ToList();
        return profile;
    }

    public static FixtureProfile Good(string xml, params (string Name, byte[] Bytes)[] more)
    {
        var profile = Read(ArchiveMaker.Gdtf(xml, more), out var problems);
        Assert.True(profile is not null, string.Join('\n', problems));
        return profile;
    }

    public static string Refused(byte[] bytes)
    {
        Assert.Null(Read(bytes, out var problems));
        return Assert.Single(problems).ToString();
    }
}
