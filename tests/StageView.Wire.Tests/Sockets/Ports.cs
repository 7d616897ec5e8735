using StageView.Wire.Sockets;

namespace StageView.Wire.Tests.Sockets;

/// <summary>Ports of the tests' own, so that a console or another test run on this machine doesn't mix in.</summary>
internal static class Ports
{
    private static int s_port = 20_000 + (Environment.ProcessId % 20_000);

    public static ListenOptions Options(params int[] universes)
    {
        var port = Interlocked.Add(ref s_port, 2);
        return new ListenOptions { Universes = [.. universes.Select(u => new UniverseNumber(u))], E131Port = port, ArtNetPort = port + 1 };
    }
}
