using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Sockets;

/// <summary>Ports of the tests' own, so that a console or another test run on this machine doesn't mix in.</summary>
internal static class Ports
{
    public static ListenOptions Options(params int[] universes)
    {
        var port = FreePort.Pair();
        return new ListenOptions { Universes = [.. universes.Select(u => new UniverseNumber(u))], E131Port = port, ArtNetPort = port + 1 };
    }
}
