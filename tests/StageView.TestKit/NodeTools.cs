using System.Diagnostics;

namespace StageView.TestKit;

/// <summary>Files of the npm packages that these tests use; fetched once.</summary>
public static class NodeTools
{
    private static readonly Lock Gate = new();

    public static string Folder => Repo.File("tests", "StageView.TestKit", "node");

    /// <summary>The file's path, or a skip that says why it isn't there.</summary>
    public static string Module(params string[] path)
    {
        var file = Path.Combine([Folder, "node_modules", .. path]);
        lock (Gate)
        {
            if (!File.Exists(file))
            {
                Fetch();
            }
        }

        if (!File.Exists(file))
        {
            Assert.Skip($"npm package {path[0]} is missing and 'npm ci' in {Path.GetRelativePath(Repo.Root, Folder)} did not bring it");
        }

        return file;
    }

    private static void Fetch()
    {
        try
        {
            using var npm = Process.Start(
                new ProcessStartInfo("npm", "ci --ignore-scripts --no-audit --no-fund")
                {
                    WorkingDirectory = Folder, RedirectStandardOutput = true, RedirectStandardError = true,
                })!;
            npm.OutputDataReceived += (_, _) => { };
            npm.ErrorDataReceived += (_, _) => { };
            npm.BeginOutputReadLine();
            npm.BeginErrorReadLine();
            if (!npm.WaitForExit(TimeSpan.FromSeconds(60)))
            {
                npm.Kill(entireProcessTree: true);
            }
        }
        catch (System.ComponentModel.Win32Exception)
        {
            // No npm here: the caller skips and says so.
        }
    }
}
