using StageView.Wire.ArtNet;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Sockets;

/// <summary>Where and for what to listen.</summary>
public sealed record ListenOptions
{
    public const string Loopback = "127.0.0.1";

    /// <summary>Universes whose multicast groups are joined; unicast and Art-Net reach us whatever their universe.</summary>
    public IReadOnlyCollection<UniverseNumber> Universes { get; init; } = [];

    /// <summary>
    /// Local IPv4 or IPv6 addresses; multicast is joined on the interface of each. IPv6 link-local ones with their scope (<c>fe80::1%eth0</c>).
    /// </summary>
    public IReadOnlyCollection<string> Addresses { get; init; } = [Loopback];

    /// <summary>Whether the groups of universes that senders offer (universe discovery) are joined, too; at most 1024.</summary>
    public bool JoinOffered { get; init; }

    public int E131Port { get; init; } = E131Numbers.Port;

    public int ArtNetPort { get; init; } = ArtNetNumbers.Port;

    /// <summary>
    /// Whether ArtPoll is answered as a receiving node of the patched universes; the answer goes to the host that asked, on <see cref="ArtNetPort"/>.
    /// </summary>
    public bool AnswerPolls { get; init; } = true;

    /// <summary>Bytes of receive buffer for each socket; 0 sizes it for the patch.</summary>
    public int ReceiveBuffer { get; init; }

    /// <summary>Receive by the base library's sockets even where the system offers a batched call.</summary>
    internal bool Portable { get; init; }

    /// <summary>Whether multicast groups are joined; a load test sends unicast alone.</summary>
    internal bool JoinGroups { get; init; } = true;

    /// <summary>
    /// Bytes asked for when <see cref="ReceiveBuffer"/> is 0: half a second of every universe at 44 Hz, so that a machine that stalls loses nothing. The kernel
    /// charges about 2.3 KiB for a full packet and doubles what is asked.
    /// </summary>
    public int EffectiveReceiveBuffer =>
        ReceiveBuffer > 0 ? ReceiveBuffer : (int)Math.Clamp(Universes.Count * 26L * 1024, 4 << 20, 64 << 20);

    /// <summary>With less than this a burst of every universe back to back, while the one before still waits, is lost in part.</summary>
    public int LeastReceiveBuffer => Universes.Count * 2304;
}
