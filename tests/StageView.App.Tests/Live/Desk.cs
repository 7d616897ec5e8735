using System.Diagnostics;

namespace StageView.App.Tests.Live;

/// <summary>An independent sACN sender (npm <c>sacn</c>) on loopback.</summary>
internal sealed class Desk : IDisposable
{
    private readonly Process _process;

    public Desk(int port)
    {
        NodeTools.Module("sacn", "package.json");
        _process = Process.Start(new ProcessStartInfo("node", $"send.js {port}") { WorkingDirectory = NodeTools.Folder, RedirectStandardInput = true, RedirectStandardError = true })!;
    }

    public void Set(int universe, params (int Address, int Level)[] levels)
    {
        _process.StandardInput.WriteLine($"{universe} {string.Join(',', levels.Select(l => $"{l.Address}={l.Level}"))}");
        _process.StandardInput.Flush();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }
}
