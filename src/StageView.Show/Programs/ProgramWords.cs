using System.ComponentModel;
using System.Diagnostics;
using StageView.Ground.Systems;

namespace StageView.Show.Programs;

/// <summary>What a program says that answers and ends.</summary>
public static class ProgramWords
{
    /// <returns>What it wrote to its output; null where it is not installed or did not end in time.</returns>
    public static string? Of(string program, IReadOnlyList<string> arguments, TimeSpan patience)
    {
        try
        {
            using var process = Process.Start(new ProcessStartInfo(OutsideProgram.File(program), arguments)
            {
                UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true,
            });
            if (process is null)
            {
                return null;
            }

            _ = process.StandardError.ReadToEndAsync();
            var words = process.StandardOutput.ReadToEndAsync();
            if (words.Wait(patience))
            {
                return words.Result;
            }

            process.Kill(entireProcessTree: true);
        }
        catch (Exception e) when (e is Win32Exception or InvalidOperationException or AggregateException)
        {
            // Not there, or gone.
        }

        return null;
    }
}
