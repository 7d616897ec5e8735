using System.Diagnostics;

namespace StageView.App.Tests;

/// <summary>Runs the built command as a process, as a user would.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Errors)
{
    public static CommandRun Of(params string[] args)
    {
        using var process = Start(args);
        var output = process.StandardOutput.ReadToEndAsync();
        var errors = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(TimeSpan.FromMinutes(3)))
        {
            process.Kill(entireProcessTree: true);
            Assert.Fail($"stageview {string.Join(' ', args)} did not end in three minutes");
        }

        return new CommandRun(process.ExitCode, output.GetAwaiter().GetResult(), errors.GetAwaiter().GetResult());
    }

    public static Process Start(params string[] args)
    {
        var info = new ProcessStartInfo("dotnet")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            WorkingDirectory = Repo.Root,
        };
        info.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "stageview.dll"));
        foreach (var a in args)
        {
            info.ArgumentList.Add(a);
        }

        return Process.Start(info)!;
    }

    /// <summary>No stack trace, no type names: what a user may see.</summary>
    public void AssertPlainWords()
    {
        Assert.DoesNotContain("   at ", Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("fault of ours", Errors, StringComparison.Ordinal);
    }
}
