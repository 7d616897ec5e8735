using System.Diagnostics;

namespace StageView.Wire.Tests.Independent;

/// <summary>Other people's senders, installed by <c>tests/independent/install.sh</c>.</summary>
internal static class Peers
{
    private static readonly Lazy<(string? Folder, string Why)> s_installed = new(Install);

    /// <summary>Starts a sender; it is ended when disposed.</summary>
    public static Peer Send(string kind, int port, int universe, int level, int priority = 100)
    {
        Tools.Need("node", "nodejs");
        Tools.Need("npm", "npm");
        if (s_installed.Value.Folder is not { } folder)
        {
            Assert.Skip(s_installed.Value.Why);
            return null!;
        }

        var process = Tools.Start("node", Path.Combine(folder, "send.js"), kind, $"{port}", $"{universe}", $"{level}", $"{priority}");
        Assert.Equal("sending", process.StandardOutput.ReadLine());
        return new Peer(process);
    }

    /// <summary>The Python library <c>sacn</c> (PyPI), where it is installed: it synchronises.</summary>
    public static Peer Synchronised(int port, int universe, int address)
    {
        Tools.Need("python3", "python3");
        using (var probe = Tools.Start("python3", "-c", "import sacn.messages.sync_packet"))
        {
            probe.WaitForExit();
            Assert.SkipWhen(probe.ExitCode != 0,
                "the Python library sacn is missing (PyPI: pip install sacn; no Debian package, and nothing on npm or NuGet sends synchronisation)");
        }

        var process = Tools.Start("python3", Repo.File("tests", "independent", "sync.py"), $"{port}", $"{universe}", $"{address}");
        Assert.Equal("sending", process.StandardOutput.ReadLine());
        return new Peer(process);
    }

    private static (string? Folder, string Why) Install()
    {
        using var process = Tools.Start("bash", Repo.File("tests", "independent", "install.sh"));
        var error = process.StandardError.ReadToEndAsync();
        var text = process.StandardOutput.ReadToEnd().Trim();
        process.WaitForExit();
        return process.ExitCode == 0 ? (text, "") : (null, "the independent senders are missing: " + error.Result.Trim());
    }

    internal sealed class Peer(Process process) : IDisposable
    {
        public void Say(string line)
        {
            process.StandardInput.WriteLine(line);
            process.StandardInput.Flush();
        }

        /// <summary>Says a line and waits for the answer.</summary>
        public void Ask(string line)
        {
            Say(line);
            Assert.Equal("done", process.StandardOutput.ReadLine());
        }

        public void Dispose()
        {
            if (!process.HasExited)
            {
                process.Kill(entireProcessTree: true);
                process.WaitForExit();
            }

            process.Dispose();
        }
    }
}
