namespace StageView.TestKit;

/// <summary>Finds files of the checkout that the tests run from, and folders for what they leave to be looked at.</summary>
public static class Repo
{
    public static string Root { get; } = Find();

    /// <summary>The rig file of the demo show.</summary>
    public static string Foundry => File("scenes", "foundry", "foundry.rig.jsonc");

    public static string File(params string[] parts) => Path.Combine([Root, .. parts]);

    /// <summary>A folder for what a person may want to look at: <c>out/test/NAME</c>.</summary>
    public static string Out(string name)
    {
        var folder = File("out", "test", name);
        Directory.CreateDirectory(folder);
        return folder;
    }

    private static string Find()
    {
        for (var d = new DirectoryInfo(AppContext.BaseDirectory); d is not null; d = d.Parent)
        {
            if (System.IO.File.Exists(Path.Combine(d.FullName, "StageView.sln")))
            {
                return d.FullName;
            }
        }

        throw new InvalidOperationException("StageView.sln lies nowhere above the test's folder");
    }
}
