using System.Diagnostics;
using System.Text;

namespace StageView.TestKit;

/// <summary>Programs of the machine, run with a bound on time. Where one is missing, the test is skipped and says so.</summary>
public static class Tools
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    /// <param name="program">A name that is looked up, or a path.</param>
    public static bool Has(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':').Append("/usr/sbin").Append("/sbin")
        .Any(d => d.Length > 0 && File.Exists(Path.Combine(d, program)));

    /// <param name="program">What the test runs.</param>
    /// <param name="package">The Debian package that brings it.</param>
    public static void Need(string program, string package)
    {
        if (!Has(program))
        {
            Assert.Skip($"{program} is missing (Debian package {package})");
        }
    }

    /// <summary>Starts it with its three streams at hand.</summary>
    public static Process Start(string program, params string[] arguments) => StartIn(null, program, arguments);

    /// <summary>The same in a working folder.</summary>
    public static Process StartIn(string? folder, string program, params string[] arguments)
    {
        Need(program, "of the same name or near it");
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true, WorkingDirectory = folder ?? "",
        };
        return Process.Start(start)!;
    }

    /// <summary>What it writes, once it has ended well.</summary>
    public static string Run(string program, params string[] arguments) => Encoding.UTF8.GetString(Bytes(null, program, arguments));

    /// <summary>The same in a working folder.</summary>
    public static string RunIn(string folder, string program, params string[] arguments) => Encoding.UTF8.GetString(Bytes(folder, program, arguments));

    /// <summary>The bytes it writes, once it has ended well.</summary>
    public static byte[] Bytes(string program, params string[] arguments) => Bytes(null, program, arguments);

    /// <summary>A file's path in a folder that goes with the process.</summary>
    public static string TempFile(string name)
    {
        var folder = Directory.CreateTempSubdirectory("stageview-file-");
        AppDomain.CurrentDomain.ProcessExit += (_, _) => folder.Delete(recursive: true);
        return Path.Combine(folder.FullName, name);
    }

    private static byte[] Bytes(string? folder, string program, string[] arguments)
    {
        using var process = StartIn(folder, program, arguments);
        process.StandardInput.Close();
        var errors = process.StandardError.ReadToEndAsync();
        using var bytes = new MemoryStream();
        var copied = process.StandardOutput.BaseStream.CopyToAsync(bytes);
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            Assert.Fail($"{program} {string.Join(' ', arguments)} did not end in {Patience.TotalMinutes:0} minutes");
        }

        copied.GetAwaiter().GetResult();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}: {errors.GetAwaiter().GetResult()}");
        return bytes.ToArray();
    }
}
