namespace StageView.TestKit;

/// <summary>A scene of the repository copied, with its profiles, to a folder that a test may write into.</summary>
public sealed class RigCopy : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("stageview-rig").FullName;

    public RigCopy(string scene)
    {
        Copy(Repo.File("scenes", scene), Path.Combine(_root, "scenes", scene), "*");
        Copy(Repo.File("assets", "fixtures"), Path.Combine(_root, "assets", "fixtures"), "*");
        File = Path.Combine(_root, "scenes", scene, scene + ".rig.jsonc");
    }

    public string File { get; }

    public string Folder => Path.GetDirectoryName(File)!;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    private static void Copy(string from, string to, string pattern)
    {
        foreach (var file in Directory.EnumerateFiles(from, pattern, SearchOption.AllDirectories))
        {
            var target = Path.Combine(to, Path.GetRelativePath(from, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            System.IO.File.Copy(file, target);
        }
    }
}
