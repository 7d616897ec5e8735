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
    /// <param name="offered">Whether universes are joined, too, that no fixture uses and senders say they send.</param>
    /// <param name="stop">Ends the listening.</param>
    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public static LiveSource Open(RigScene rig, IReadOnlyCollection<string> addresses, ILevelsSink? sink, bool offered = false,
        CancellationToken stop = default) =>
        LiveSource.Listen(rig.Network.ToWireSettings(), new ListenOptions
        {
            Universes = Universes.Patched(rig), Addresses = [ListenOptions.Loopback, .. rig.Network.Listen, .. addresses], JoinOffered = offered,
        }, sink, TimeProvider.System, stop);
}
