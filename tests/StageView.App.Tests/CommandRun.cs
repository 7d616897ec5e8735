using System.Diagnostics;

namespace StageView.App.Tests;

/// <summary>Runs the built command as a process, as a user would.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Errors)
{
    public static CommandRun Of(params string[] args) => With(new Dictionary<string, string>(), args);

    /// <param name="environment">Variables set for the command.</param>
    /// <param name="args">Its words.</param>
    public static CommandRun With(IReadOnlyDictionary<string, string> environment, params string[] args)
    {
        using var process = Start(environment, args);
        var output = process.StandardOutput.ReadToEndAsync();
        var errors = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(TimeSpan.FromMinutes(10)))
        {
            process.Kill(entireProcessTree: true);
            Assert.Fail($"stageview {string.Join(' ', args)} did not end in ten minutes");
        }

        return new CommandRun(process.ExitCode, output.GetAwaiter().GetResult(), errors.GetAwaiter().GetResult());
    }

    public static Process Start(params string[] args) => Start(new Dictionary<string, string>(), args);

    private static Process Start(IReadOnlyDictionary<string, string> environment, string[] args)
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

        foreach (var (name, value) in environment)
        {
            info.Environment[name] = value;
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
