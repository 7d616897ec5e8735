using System.Diagnostics;
using System.Text;

namespace StageView.App.Tests.Docs;

/// <summary>A folder like a fresh checkout's, with the demo's scene and the command, in which a page's commands are run by a shell.</summary>
internal sealed class DocsDesk : IDisposable
{
    private static readonly TimeSpan s_patience = TimeSpan.FromMinutes(10);
    private readonly TempFolder _folder = new();

    public DocsDesk()
    {
        foreach (var kept in (string[])["scenes", "assets"])
        {
            foreach (var file in Directory.GetFiles(Repo.File(kept), "*", SearchOption.AllDirectories))
            {
                var copy = _folder.File(Path.GetRelativePath(Repo.Root, file));
                Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
                File.Copy(file, copy);
            }
        }

        Directory.CreateDirectory(_folder.File("bin"));
        Script("bin/stageview", $"DOTNET_TieredPGO=0 exec dotnet '{Path.Combine(AppContext.BaseDirectory, "stageview.dll")}' \"$@\"");
        Script("dev", "[ \"$1\" = stageview ] || exit 2; shift; exec stageview \"$@\"");
    }

    public void Dispose() => _folder.Dispose();

    public void Save(DocsBlock block)
    {
        var file = _folder.File(block.File);
        Directory.CreateDirectory(Path.GetDirectoryName(file)!);
        File.WriteAllText(file, string.Join('\n', block.Lines) + "\n");
    }

    /// <summary>Runs a command as it stands; one that runs until Ctrl+C is told to end once it has said how.</summary>
    public async Task<CommandRun> Run(DocsCommand command)
    {
        // Whoever runs the tests in the background of a script has Ctrl+C ignored, and what is started here would inherit that.
        string[] words = ["bash", "-c", command.UntilStopped ? "exec " + command.Words : command.Words];
        string[] all = OperatingSystem.IsLinux() ? ["env", "--default-signal=INT", .. words] : words;
        var start = new ProcessStartInfo(all[0], all[1..])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = _folder.Path,
        };
        start.Environment["PATH"] = _folder.File("bin") + ":" + start.Environment["PATH"];
        start.Environment.Remove("DISPLAY");
        start.Environment.Remove("WAYLAND_DISPLAY");
        using var process = Process.Start(start)!;
        process.StandardInput.Close();
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = Output(process, command.UntilStopped);
        using var patience = new CancellationTokenSource(s_patience);
        try
        {
            await process.WaitForExitAsync(patience.Token);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            return new CommandRun(-1, await output, $"did not end in {s_patience.TotalMinutes} minutes\n" + await errors);
        }

        return new CommandRun(process.ExitCode, await output, await errors);
    }

    private static async Task<string> Output(Process process, bool stop)
    {
        var said = new StringBuilder();
        while (await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) is { } line)
        {
            said.AppendLine(line);
            if (stop && line.Contains("Ctrl+C", StringComparison.Ordinal))
            {
                using var kill = Process.Start("kill", ["-INT", $"{process.Id}"]);
                stop = false;
            }
        }

        return said.ToString();
    }

    private void Script(string name, string line)
    {
        var file = _folder.File(name, "#!/bin/sh\n" + line + "\n");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }
    }
}
