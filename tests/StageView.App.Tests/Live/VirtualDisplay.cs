using System.Diagnostics;

namespace StageView.App.Tests.Live;

/// <summary>An X server without a screen.</summary>
internal sealed class VirtualDisplay : IDisposable
{
    private readonly Process _server;

    private VirtualDisplay(Process server, string name) => (_server, Name) = (server, name);

    /// <summary>Such as <c>:97</c>.</summary>
    public string Name { get; }

    public static VirtualDisplay Start()
    {
        const string Executable = "/usr/bin/Xvfb";
        if (!File.Exists(Executable) || !File.Exists("/usr/lib/x86_64-linux-gnu/libglfw.so.3") && !Directory.EnumerateFiles("/usr/lib", "libglfw.so.3", new EnumerationOptions { RecurseSubdirectories = true, IgnoreInaccessible = true }).Any())
        {
            Assert.Skip("Xvfb or libglfw.so.3 is missing: apt-get install xvfb libglfw3");
        }

        // The server writes the number it took; -nolisten tcp keeps it to this machine.
        var server = Process.Start(new ProcessStartInfo(Executable, "-displayfd 1 -screen 0 1280x800x24 -nolisten tcp") { RedirectStandardOutput = true, RedirectStandardError = true })!;
        server.ErrorDataReceived += (_, _) => { };
        server.BeginErrorReadLine();
        return new VirtualDisplay(server, ":" + server.StandardOutput.ReadLine()!.Trim());
    }

    /// <summary>The display goes away under its programs, as when a session ends or a cable's machine is switched off.</summary>
    public void Close()
    {
        if (!_server.HasExited)
        {
            _server.Kill();
            _server.WaitForExit();
        }
    }

    /// <summary>What is on the display, as PNG.</summary>
    public void Shot(string file)
    {
        using var import = Process.Start(new ProcessStartInfo("/bin/sh", $"-c \"import -display {Name} -window root '{file}'\"") { RedirectStandardError = true })!;
        import.WaitForExit();
    }

    public void Dispose()
    {
        Close();
        _server.Dispose();
    }
}
