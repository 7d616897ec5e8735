using System.Diagnostics;
using System.Text;

namespace StageView.Wine;

/// <summary>
/// A fresh Wine prefix with a display of its own, the Windows build copied onto its drive C:, where no path leads to this machine's fonts or libraries.
/// </summary>
public sealed class Prefix : IAsyncLifetime
{
    private const string Loader = "/usr/lib/wine/wine64";
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);
    private readonly TempFolder _folder = new();
    private Process? _display;

    /// <summary>The folder of the program, as Windows names it: with a space and letters beyond ASCII.</summary>
    public const string Program = @"C:\Bühne & Licht\StageView";

    public string Display { get; private set; } = "";

    /// <summary>Where a path of drive C: lies on this machine.</summary>
    public string Here(string windows) => Path.Combine(_folder.Path, "drive_c", windows[3..].Replace('\\', '/'));

    public async ValueTask InitializeAsync()
    {
        Tools.Need("Xvfb", "xvfb");
        Assert.SkipUnless(File.Exists(Loader), $"{Loader} is missing (Debian package wine64)");
        var built = Repo.File("out", "publish-win");
        Assert.True(File.Exists(Path.Combine(built, "stageview.exe")), "there is no Windows build: ./dev wine makes it");
        _display = Process.Start(new ProcessStartInfo("Xvfb", ["-displayfd", "1", "-screen", "0", "1600x900x24", "-nolisten", "tcp"])
        {
            RedirectStandardOutput = true, RedirectStandardError = true,
        })!;
        Display = ":" + await _display.StandardOutput.ReadLineAsync();
        using (var boot = Process.Start(Loaded("wineboot", "-i"))!)
        {
            await boot.WaitForExitAsync();
        }

        Copy(built, Here(Program));
    }

    public async ValueTask DisposeAsync()
    {
        using (var end = new Process { StartInfo = Set(new ProcessStartInfo("/usr/lib/wine/wineserver", ["-k", "-w"])) })
        {
            end.Start();
            await end.WaitForExitAsync();
        }

        _display?.Kill();
        _display?.Dispose();
        _folder.Dispose();
    }

    /// <summary>The command of Windows, started, its three streams at hand.</summary>
    public Process Start(params string[] words) => Process.Start(Loaded([Program + @"\stageview.exe", .. words]))!;

    /// <summary>The same in a terminal; what is written to the process is typed.</summary>
    public Process StartInTerminal(params string[] words)
    {
        string[] all = [Loader, Program + @"\stageview.exe", .. words];
        var typed = string.Join(' ', all.Select(w => "'" + w + "'"));
        var start = Set(new ProcessStartInfo("script", ["-qefc", typed, "/dev/null"]));
        start.Environment["TERM"] = "xterm";
        return Process.Start(start)!;
    }

    /// <summary>The command of Windows, run to its end.</summary>
    public Ran Run(params string[] words) => Ended(Start(words), words);

    /// <summary>The same command of this machine.</summary>
    public static Ran RunHere(params string[] words)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "stageview.dll"), .. words])
        {
            RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true,
        };
        return Ended(Process.Start(start)!, words);
    }

    private static Ran Ended(Process process, string[] words)
    {
        using (process)
        {
            process.StandardInput.Close();
            var (output, errors) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
            if (!process.WaitForExit(Patience))
            {
                process.Kill(entireProcessTree: true);
                Assert.Fail($"stageview {string.Join(' ', words)} did not end in {Patience.TotalMinutes:0} minutes");
            }

            return new Ran(process.ExitCode, output.Result, errors.Result);
        }
    }

    private ProcessStartInfo Loaded(params string[] words) => Set(new ProcessStartInfo(Loader, words));

    private ProcessStartInfo Set(ProcessStartInfo start)
    {
        (start.RedirectStandardInput, start.RedirectStandardOutput, start.RedirectStandardError) = (true, true, true);
        (start.StandardOutputEncoding, start.StandardErrorEncoding) = (Encoding.UTF8, Encoding.UTF8);
        foreach (var (name, value) in new (string, string)[]
        {
            ("WINEPREFIX", _folder.Path), ("WINEARCH", "win64"), ("WINEDEBUG", "-all"), ("WINEDLLOVERRIDES", "mshtml="), ("DISPLAY", Display),

            // .NET 10 does not start reliably under Wine 8 with pages that are either written or run.
            ("DOTNET_EnableWriteXorExecute", "0"), ("DOTNET_TieredPGO", "0"),
        })
        {
            start.Environment[name] = value;
        }

        start.Environment.Remove("WAYLAND_DISPLAY");
        return start;
    }

    private static void Copy(string from, string to)
    {
        foreach (var file in Directory.EnumerateFiles(from, "*", SearchOption.AllDirectories).Where(f => Path.GetExtension(f) != ".pdb"))
        {
            var target = Path.Combine(to, Path.GetRelativePath(from, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target);
        }
    }
}

/// <summary>How a command ended.</summary>
/// <param name="Output">What it wrote, lines ended as it ended them.</param>
public sealed record Ran(int ExitCode, string Output, string Errors)
{
    /// <summary>Its lines, as they are on every system.</summary>
    public string Lines => Output.Replace("\r\n", "\n", StringComparison.Ordinal);
}
