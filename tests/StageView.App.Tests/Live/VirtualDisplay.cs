using System.Diagnostics;

namespace StageView.App.Tests.Live;

/// <summary>An X server without a screen.</summary>
internal sealed class VirtualDisplay : IDisposable
{
    private readonly Process _server;
    private string? _folder;

    private VirtualDisplay(Process server, string name) => (_server, Name) = (server, name);

    /// <summary>Such as <c>:97</c>.</summary>
    public string Name { get; }

    public static VirtualDisplay Start()
    {
        const string Executable = "/usr/bin/Xvfb";
        if (!File.Exists(Executable) || !File.Exists("/usr/lib/x86_64-linux-gnu/libglfw.so.3")
            && !Directory.EnumerateFiles("/usr/lib", "libglfw.so.3", new EnumerationOptions { RecurseSubdirectories = true, IgnoreInaccessible = true }).Any())
        {
            Assert.Skip("Xvfb or libglfw.so.3 is missing: apt-get install xvfb libglfw3");
        }

        // The server writes the number it took; -nolisten tcp keeps it to this machine. Without -noreset it begins anew whenever its
        // last client leaves, and refuses a window that connects at that moment: a shot taken before the window is such a client.
        var server = Process.Start(new ProcessStartInfo(Executable, "-displayfd 1 -screen 0 1280x800x24 -nolisten tcp -noreset")
        {
            RedirectStandardOutput = true, RedirectStandardError = true,
        })!;
        server.ErrorDataReceived += (_, _) => { };
        server.BeginErrorReadLine();
        return new VirtualDisplay(server, ":" + server.StandardOutput.ReadLine()!.Trim());
    }

    /// <summary>Two screens side by side: 1280 × 800, and 1024 × 768 at its right. Of Xorg's dummy driver, since Xvfb has one.</summary>
    public static VirtualDisplay StartTwo()
    {
        if (!File.Exists("/usr/bin/xrandr") || !File.Exists("/usr/lib/xorg/modules/drivers/dummy_drv.so") || !OperatingSystem.IsLinux()
            || Environment.UserName != "root")
        {
            Assert.Skip("two screens need root and Xorg's dummy driver: apt-get install xserver-xorg-core xserver-xorg-video-dummy x11-xserver-utils");
        }

        var folder = Directory.CreateTempSubdirectory("stageview-screens").FullName;
        File.WriteAllText(Path.Combine(folder, "xorg.conf"), """
            Section "ServerFlags"
              Option "AutoAddDevices" "false"
              Option "AutoAddGPU" "false"
            EndSection
            Section "Device"
              Identifier "card"
              Driver "dummy"
              VideoRam 65536
            EndSection
            Section "Monitor"
              Identifier "monitor"
              HorizSync 5-200
              VertRefresh 5-200
            EndSection
            Section "Screen"
              Identifier "screen"
              Device "card"
              Monitor "monitor"
              DefaultDepth 24
              SubSection "Display"
                Depth 24
                Modes "1280x800" "1024x768"
                Virtual 2304 800
              EndSubSection
            EndSection
            """);
        var server =
            Process.Start(new ProcessStartInfo("/usr/bin/Xorg",
                $"-displayfd 1 -config {folder}/xorg.conf -logfile {folder}/log -nolisten tcp -noreset -novtswitch -sharevts")
            {
                RedirectStandardOutput = true, RedirectStandardError = true,
            })!;
        server.ErrorDataReceived += (_, _) => { };
        server.BeginErrorReadLine();
        if (server.StandardOutput.ReadLine() is not { } number)
        {
            Assert.Skip("Xorg with its dummy driver does not start here");
            throw new InvalidOperationException();
        }

        var display = new VirtualDisplay(server, ":" + number.Trim()) { _folder = folder };

        // The last asks the driver anew: only then does it say that the second one is connected.
        foreach (var words in new[] { "--addmode DUMMY1 1024x768", "--output DUMMY1 --mode 1024x768 --right-of DUMMY0", "--query" })
        {
            display.Arrange(words);
        }

        return display;
    }

    /// <summary>The second screen's cable is pulled.</summary>
    public void PullSecond() => Arrange("--output DUMMY1 --off");

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
        using var import = Process.Start(
            new ProcessStartInfo("/bin/sh", $"-c \"import -display {Name} -window root '{file}'\"") { RedirectStandardError = true })!;
        import.WaitForExit();
    }

    private void Arrange(string words)
    {
        using var set = Process.Start(new ProcessStartInfo("/usr/bin/xrandr", words) { RedirectStandardOutput = true, Environment = { ["DISPLAY"] = Name } })!;
        set.StandardOutput.ReadToEnd();
        set.WaitForExit();
        Assert.Equal(0, set.ExitCode);
    }

    public void Dispose()
    {
        Close();
        _server.Dispose();
        if (_folder is not null)
        {
            Directory.Delete(_folder, recursive: true);
        }
    }
}
