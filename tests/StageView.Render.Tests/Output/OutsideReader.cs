using System.Diagnostics;

namespace StageView.Render.Tests.Output;

/// <summary>Runs a program that is not ours and gives its standard output; skips the test when it isn't installed.</summary>
internal static class OutsideReader
{
    public static byte[] Run(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program) { RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false };
        foreach (var a in arguments)
        {
            start.ArgumentList.Add(a);
        }

        Process process;
        try
        {
            process = Process.Start(start)!;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip($"{program} is not installed");
            throw;
        }

        using (process)
        {
            var errors = process.StandardError.ReadToEndAsync();
            using var bytes = new MemoryStream();
            process.StandardOutput.BaseStream.CopyTo(bytes);
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)}: {errors.Result}");
            return bytes.ToArray();
        }
    }
}
