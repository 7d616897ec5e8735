using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests;

/// <summary>A folder with rig files that goes away again.</summary>
internal sealed class TempRig : IDisposable
{
    public TempRig() => Folder = Directory.CreateTempSubdirectory("stageview-rig-").FullName;

    public string Folder { get; }

    public static RigLoadOptions WithAssets { get; } = new() { ProfileFolders = [Repo.File("assets", "fixtures")] };

    public string Write(string name, string text)
    {
        var path = Path.Combine(Folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
        return path;
    }

    public RigScene Load(string text)
    {
        Assert.True(RigLoader.TryLoad(Write("a.rig.jsonc", text), WithAssets, out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }

    /// <summary>The problems of a rig that must not load.</summary>
    public IReadOnlyList<RigProblem> Refused(string text)
    {
        Assert.False(RigLoader.TryLoad(Write("a.rig.jsonc", text), WithAssets, out _, out var problems));
        Assert.Contains(problems, p => p.Severity == ProblemSeverity.Error);
        return problems;
    }

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
