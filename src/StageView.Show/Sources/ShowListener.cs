using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.Show.Sources;

/// <summary>Opens the network as a rig file asks for it.</summary>
public static class ShowListener
{
    /// <summary>Listens for the rig's universes on loopback, at the rig's addresses and at those given.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="addresses">Further addresses of this machine.</param>
    /// <param name="sink">Is told merged levels, from the listening thread; or null.</param>
    /// <param name="stop">Ends the listening.</param>
    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public static LiveSource Open(RigScene rig, IReadOnlyCollection<string> addresses, ILevelsSink? sink, CancellationToken stop = default) =>
        LiveSource.Listen(
        rig.Network.ToWireSettings(), Universes.Patched(rig), [ListenOptions.Loopback, .. rig.Network.Listen, .. addresses], sink, TimeProvider.System, stop);
}
