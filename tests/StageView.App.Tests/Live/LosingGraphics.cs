using System.Diagnostics;
using System.Runtime.InteropServices;

namespace StageView.App.Tests.Live;

/// <summary>Graphics libraries that lose their context when told to; see <c>tests/independent/losing_gl.c</c>.</summary>
internal sealed class LosingGraphics : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly Dictionary<string, string> _environment = [];

    /// <param name="window">Whether a window's library is needed, too.</param>
    public LosingGraphics(bool window = false)
    {
        _environment["LD_LIBRARY_PATH"] = _folder.Path;
        _environment["LOSING_WHEN"] = When;
        Make("libEGL.so.1", "LOSING_EGL");
        if (window)
        {
            // GLFW 3.3 loads the one, 3.4 the other.
            Make(File.ReadAllBytes(Real("libglfw.so.3")).AsSpan().IndexOf("libGLX.so.0\0"u8) >= 0 ? "libGLX.so.0" : "libGL.so.1", "LOSING_GLX", "-DGLX");
        }
    }

    /// <summary>What a process needs to be given them.</summary>
    public IReadOnlyDictionary<string, string> Environment => _environment;

    private string When => Path.Combine(_folder.Path, "now");

    /// <summary>As after a reset, or without power.</summary>
    public void Lose(bool power)
    {
        var file = When + ".new";
        File.WriteAllText(file, power ? "p" : "r");
        File.Move(file, When);
    }

    public void Dispose() => _folder.Dispose();

    private void Make(string library, string own, params string[] more)
    {
        using var gcc = Process.Start("gcc",
            ["-shared", "-fPIC", "-O1", .. more, "-o", Path.Combine(_folder.Path, library), Repo.File("tests/independent/losing_gl.c"), "-ldl", "-lpthread"]);
        gcc.WaitForExit();
        Assert.Equal(0, gcc.ExitCode);
        _environment[own] = Real(library);
    }

    // Where the loader finds the machine's own.
    private static string Real(string library)
    {
        var handle = NativeLibrary.Load(library);
        var path = File.ReadLines("/proc/self/maps").Select(l => l[(l.IndexOf('/', StringComparison.Ordinal) is var i && i < 0 ? l.Length : i)..])
            .First(l => Path.GetFileName(l).StartsWith(library, StringComparison.Ordinal));
        NativeLibrary.Free(handle);
        return path;
    }
}
