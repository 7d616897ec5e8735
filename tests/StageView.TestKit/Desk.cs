using System.Diagnostics;

namespace StageView.TestKit;

/// <summary>An independent sACN sender (npm <c>sacn</c>), to loopback unless told otherwise.</summary>
public sealed class Desk : IDisposable
{
    private readonly Process _process;
    private bool _ended;

    /// <param name="port">UDP port sent to.</param>
    /// <param name="to">Address sent to; with <c>multicast:</c> and its own address, the universe's group.</param>
    /// <param name="space">The network namespace that it runs in, or null.</param>
    /// <param name="cid">Its CID, 32 hexadecimal digits; the library's own when empty.</param>
    public Desk(int port, string to = "127.0.0.1", string? space = null, string cid = "")
    {
        NodeTools.Module("sacn", "package.json");
        _process =
            Process.Start(new ProcessStartInfo(space is null ? "node" : "ip", (space is null ? "" : $"netns exec {space} node ") + $"send.js {port} {to} {cid}")
            {
                WorkingDirectory = NodeTools.Folder, RedirectStandardInput = true, RedirectStandardError = true,
            })!;
    }

    public void Set(int universe, params (int Address, int Level)[] levels)
    {
        _process.StandardInput.WriteLine($"{universe} {string.Join(',', levels.Select(l => $"{l.Address}={l.Level}"))}");
        _process.StandardInput.Flush();
    }

    public void Dispose()
    {
        if (_ended)
        {
            return;
        }

        _ended = true;
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }
}
