using System.Diagnostics;
using System.Text.Json;

namespace StageView.TestKit;

/// <summary>A station of MVR-xchange that is not ours: <c>tests/independent/exchange_peer.py</c>, on the loopback. It leaves when disposed.</summary>
public sealed class ExchangePeer : IDisposable
{
    private readonly Process _process;

    /// <param name="group">The group that it joins.</param>
    /// <param name="namesPort">UDP port of multicast DNS.</param>
    /// <param name="manner"><c>table</c> or <c>example</c>: how it writes messages.</param>
    public ExchangePeer(string group, int namesPort, string manner = "table")
    {
        Tools.Need("python3", "python3");
        _process = Tools.Start("python3", Repo.File("tests", "independent", "exchange_peer.py"),
            group, "127.0.0.1", $"{namesPort}", "test peer", $"{Id}", manner);
        Port = JsonDocument.Parse(_process.StandardOutput.ReadLine() ?? throw new InvalidOperationException(_process.StandardError.ReadToEnd()))
            .RootElement.GetProperty("port").GetInt32();
    }

    public Guid Id { get; } = Guid.NewGuid();

    /// <summary>Its TCP port.</summary>
    public int Port { get; }

    /// <summary>Says a line and returns the answer.</summary>
    public JsonElement Ask(string line)
    {
        _process.StandardInput.WriteLine(line);
        _process.StandardInput.Flush();
        return JsonDocument.Parse(_process.StandardOutput.ReadLine() ?? throw new InvalidOperationException(_process.StandardError.ReadToEnd())).RootElement;
    }

    /// <summary>Waits until it has found so many stations.</summary>
    public void Finds(int stations)
    {
        for (var i = 0; i < 100 && Ask("stations").GetProperty("stations").EnumerateObject().Count() != stations; i++)
        {
            // Each look takes a third of a second.
        }
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.StandardInput.WriteLine("quit");
            _process.StandardInput.Flush();
            if (!_process.WaitForExit(2000))
            {
                _process.Kill(entireProcessTree: true);
                _process.WaitForExit();
            }
        }

        _process.Dispose();
    }
}
