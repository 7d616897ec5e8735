using System.Diagnostics;
using System.Globalization;
using System.Text;
using StageView.Render.Contexts;

namespace StageView.Benchmarks;

/// <summary>
/// Writes a room's figures for people, <c>docs/measurements/ROOM.md</c>, or <c>ROOM.gpu.md</c> where a GPU draws. The machine is told in words, never by its
/// name.
/// </summary>
public static class MeasurementPage
{
    /// <summary>How busy the machine was before anything was measured; empty where the system doesn't tell.</summary>
    public static string LoadNow() =>
        File.Exists("/proc/loadavg") ? File.ReadAllText("/proc/loadavg").Split(' ')[0] : "";

    /// <summary>Writes the page.</summary>
    /// <param name="room">The room, in small letters.</param>
    /// <param name="figures">What was measured, in order.</param>
    /// <param name="load">How busy the machine was before.</param>
    /// <param name="table">A table to stand below the figures, or null.</param>
    /// <returns>The file.</returns>
    public static string Write(string room, IReadOnlyList<Figure> figures, string load, string? table = null)
    {
        var gpu = Gpu();
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture,
            $"# {room}\n\nWritten by `./dev bench {room}`; what stands in these files is told in [README.md](README.md).\n\n");
        text.Append(CultureInfo.InvariantCulture, $"- machine: {Machine(gpu)}\n");
        if (load.Length > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"- load before it: {load} (tasks that wanted a core, mean of a minute)\n");
        }

        text.Append(CultureInfo.InvariantCulture, $"- date: {TimeProvider.System.GetUtcNow():yyyy-MM-dd}\n- commit: {Commit()}\n\n");
        text.Append("| figure | value | unit | beside | ratio | what it is |\n| --- | ---: | --- | --- | ---: | --- |\n");
        foreach (var f in figures)
        {
            text.Append(CultureInfo.InvariantCulture,
                $"| `{f.Name}` | {Number(f.Value, 4)} | {f.Unit} | {f.Against} | {(f.Ratio is { } r ? Number(r, 3) : "")} | {Meanings.Of(f.Name)} |\n");
        }

        if (table is { Length: > 0 })
        {
            text.Append('\n').Append(table);
        }

        Directory.CreateDirectory(Path.Combine("docs", "measurements"));
        var file = Path.Combine("docs", "measurements", room + (gpu is null ? ".md" : ".gpu.md"));
        File.WriteAllText(file, text.ToString());
        return file;
    }

    /// <summary>So many digits that count, without an exponent.</summary>
    internal static string Number(double value, int digits)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return value.ToString(CultureInfo.InvariantCulture);
        }

        var places = Math.Clamp(digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 9);
        return value.ToString("#,0." + new string('#', places), CultureInfo.InvariantCulture);
    }

    private static string Machine(string? gpu)
    {
        var memory = Math.Round(GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / (double)(1 << 30));
        return string.Create(CultureInfo.InvariantCulture, $"{Environment.ProcessorCount} cores, {memory} GB of memory, {gpu ?? "no GPU"}");
    }

    /// <summary>What draws, where that isn't the processor.</summary>
    private static string? Gpu()
    {
        try
        {
            using var context = Offscreen.Open();
            context.Enter();
            var name = context.IsSoftware ? null : context.Renderer;
            context.Leave();
            return name;
        }
        catch (MachineCannotException)
        {
            return null;
        }
    }

    /// <summary>The checkout's commit and whether its code was changed since; of a published build, the commit that it was made of.</summary>
    private static string Commit()
    {
        if (Git("rev-parse", "--short=10", "HEAD") is { Length: > 0 } head)
        {
            return Git("status", "--porcelain", "--", "src", "shaders", "tests", "assets", "scenes") is { Length: > 0 }
                ? head + " with changes that were not committed" : head;
        }

        var version = FileVersionInfo.GetVersionInfo(Environment.ProcessPath!).ProductVersion ?? "";
        return version.Contains('+', StringComparison.Ordinal) ? version.Split('+')[1][..10] : "not known";
    }

    private static string? Git(params string[] words)
    {
        try
        {
            using var git = Process.Start(new ProcessStartInfo("git", words) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            var said = git.StandardOutput.ReadToEnd().Trim();
            git.WaitForExit();
            return git.ExitCode == 0 ? said : null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }
}
