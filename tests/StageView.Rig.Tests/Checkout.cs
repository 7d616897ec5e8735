namespace StageView.Rig.Tests;

/// <summary>Files of the checkout that tests read.</summary>
internal static class Checkout
{
    public static string Root { get; } = Find();

    public static string Path(params string[] parts) => System.IO.Path.Combine([Root, .. parts]);

    public static string Foundry => Path("scenes", "foundry", "foundry.rig.jsonc");

    private static string Find()
    {
        for (var d = new DirectoryInfo(AppContext.BaseDirectory); d is not null; d = d.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(d.FullName, "StageView.sln")))
            {
                return d.FullName;
            }
        }

        throw new InvalidOperationException("no StageView.sln above the test's folder");
    }
}
