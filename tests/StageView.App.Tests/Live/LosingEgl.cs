using System.Diagnostics;
using System.Runtime.InteropServices;

namespace StageView.App.Tests.Live;

/// <summary>A graphics library that loses its context when told to; see <c>tests/independent/losing_egl.c</c>.</summary>
internal sealed class LosingEgl : IDisposable
{
    private readonly TempFolder _folder = new();

    public LosingEgl()
    {
        using var gcc = Process.Start("gcc", ["-shared", "-fPIC", "-O1", "-o", Path.Combine(_folder.Path, "libEGL.so.1"), Repo.File("tests/independent/losing_egl.c"), "-ldl", "-lpthread"]);
        gcc.WaitForExit();
        Assert.Equal(0, gcc.ExitCode);
    }

    /// <summary>What a process needs to be given it.</summary>
    public IReadOnlyDictionary<string, string> Environment => new Dictionary<string, string>
    {
        ["LD_LIBRARY_PATH"] = _folder.Path, ["LOSING_REAL"] = Real(), ["LOSING_WHEN"] = When,
    };

    private string When => Path.Combine(_folder.Path, "now");

    /// <summary>As after a reset, or without power.</summary>
    public void Lose(bool power)
    {
        var file = When + ".new";
        File.WriteAllText(file, power ? "p" : "r");
        File.Move(file, When);
    }

    public void Dispose() => _folder.Dispose();

    // Where the loader finds the machine's own.
    private static string Real()
    {
        var library = NativeLibrary.Load("libEGL.so.1");
        var path = File.ReadLines("/proc/self/maps").Select(l => l[(l.IndexOf('/', StringComparison.Ordinal) is var i && i < 0 ? l.Length : i)..]).First(l => Path.GetFileName(l).StartsWith("libEGL.so.1", StringComparison.Ordinal));
        NativeLibrary.Free(library);
        return path;
    }
}
