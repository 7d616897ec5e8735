namespace StageView.App.Tests;

/// <summary>Finds files of the checkout that the tests run from.</summary>
internal static class Repo
{
    public static string Root { get; } = Find();

    public static string File(params string[] parts) => Path.Combine([Root, .. parts]);

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
