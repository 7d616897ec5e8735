namespace StageView.Render.Tests;

/// <summary>Finds files of the checkout that the tests run from, and a scratch folder.</summary>
internal static class Repo
{
    public static string Root { get; } = Find();

    public static string File(params string[] parts) => Path.Combine([Root, .. parts]);

    /// <summary>A folder for pictures that a person may want to look at: <c>out/test/render/NAME</c>.</summary>
    public static string Out(string name)
    {
        var folder = Path.Combine(Root, "out", "test", "render", name);
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
