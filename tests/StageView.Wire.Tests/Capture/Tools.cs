using System.Diagnostics;

namespace StageView.Wire.Tests.Capture;

/// <summary>Programs of the machine, run with a bound on time.</summary>
internal static class Tools
{
    public static bool Has(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':').Append("/usr/sbin").Append("/sbin").Any(d => d.Length > 0 && File.Exists(Path.Combine(d, program)));

    public static void Need(string program, string package)
    {
        if (!Has(program))
        {
            Assert.Skip($"{program} is missing (Debian package {package})");
        }
    }

    public static Process Start(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program) { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true };
        foreach (var a in arguments)
        {
            start.ArgumentList.Add(a);
        }

        return Process.Start(start)!;
    }

    public static string Run(string program, params string[] arguments)
    {
        using var process = Start(program, arguments);
        process.StandardInput.Close();
        var error = process.StandardError.ReadToEndAsync();
        var text = process.StandardOutput.ReadToEnd();
        if (!process.WaitForExit(90_000))
        {
            process.Kill(entireProcessTree: true);
            Assert.Fail($"{program} did not end");
        }

        Assert.True(process.ExitCode == 0, $"{program} ended with {process.ExitCode}: {error.Result}");
        return text;
    }

    public static string TempFile(string name)
    {
        var folder = Directory.CreateTempSubdirectory("stageview-wire-");
        AppDomain.CurrentDomain.ProcessExit += (_, _) => folder.Delete(recursive: true);
        return Path.Combine(folder.FullName, name);
    }
}
