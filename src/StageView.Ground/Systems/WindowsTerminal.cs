using System.Runtime.InteropServices;
using System.Text;

namespace StageView.Ground.Systems;

/// <summary>A console of Windows: it has a code page, and sequences are switched on for it (kernel32: SetConsoleMode).</summary>
internal sealed class WindowsTerminal : ITerminal
{
    private const int StandardOutput = -11;
    private const uint VirtualTerminal = 4;
    private bool _taken;

    public void Begin()
    {
        try
        {
            Console.OutputEncoding = new UTF8Encoding(false);
            Console.InputEncoding = new UTF8Encoding(false);
        }
        catch (IOException)
        {
            // No console, as when it is started by another program: what is redirected needs none.
        }

        var output = GetStdHandle(StandardOutput);
        _taken = GetConsoleMode(output, out var mode) && SetConsoleMode(output, mode | VirtualTerminal);
    }

    public bool TakesSequences => _taken && !Console.IsOutputRedirected;

    [DllImport("kernel32"), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern nint GetStdHandle(int which);

    [DllImport("kernel32"), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern bool GetConsoleMode(nint handle, out uint mode);

    [DllImport("kernel32"), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern bool SetConsoleMode(nint handle, uint mode);
}
