using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Show.Video;

namespace StageView.Show.Tests.Video;

public sealed class SourceStampTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-stamp-").FullName;

    public static TheoryData<string> Rigs => [.. Directory.GetFiles(Repo.File("scenes"), "*.rig.jsonc", SearchOption.AllDirectories)
        .Select(f => Path.GetRelativePath(Repo.File("scenes"), f)).Order(StringComparer.Ordinal)];

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [MemberData(nameof(Rigs))]
    public void Every_rig_of_ours_has_a_stamp_that_is_the_same_when_it_is_read_again(string rig) =>
        Assert.Equal(Stamp(Read(Repo.File("scenes", rig))), Stamp(Read(Repo.File("scenes", rig))));

    [Fact]
    public void What_moved_changes_the_stamp_and_where_the_file_lies_does_not()
    {
        const string Rig = """
            {
              "parts": [ { "name": "tower", "at": [1, 0, 0], "scenery": [ { "name": "step", "shape": "box", "at": [0, 0.5, 0], "size": [1, 1, 1] } ] } ],
              "cameras": [ { "name": "front", "at": [0, -8, 2], "lookAt": [0, 0, 1] } ]
            }
            """;
        var stamps = new[] { ("a", Rig), ("b", Rig), ("c", Rig.Replace("0.5", "0.51", StringComparison.Ordinal)) }.Select(r =>
        {
            var file = Path.Combine(Directory.CreateDirectory(Path.Combine(_folder, r.Item1)).FullName, "x.rig.jsonc");
            File.WriteAllText(file, r.Item2);
            return Stamp(Read(file));
        }).ToList();
        Assert.Equal(stamps[0], stamps[1]);
        Assert.NotEqual(stamps[0], stamps[2]);
    }

    private static string Stamp(RigScene rig) => SourceStamp.Of(rig, null, "front", "plain");

    private static RigScene Read(string file)
    {
        Assert.True(RigLoader.TryLoad(file, out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }
}
