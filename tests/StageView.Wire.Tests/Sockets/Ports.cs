using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Sockets;

/// <summary>Ports of the tests' own, so that a console or another test run on this machine doesn't mix in.</summary>
internal static class Ports
{
    // Below the ports that the system gives to senders which name none (from 32768 on Linux).
    private static int s_port = 20_000 + (Environment.ProcessId % 6_000 * 2);

    public static ListenOptions Options(params int[] universes)
    {
        var port = Interlocked.Add(ref s_port, 2);
        return new ListenOptions { Universes = [.. universes.Select(u => new UniverseNumber(u))], E131Port = port, ArtNetPort = port + 1 };
    }
}
