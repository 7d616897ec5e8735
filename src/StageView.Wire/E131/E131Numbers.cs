using System.Net;

namespace StageView.Wire.E131;

/// <summary>Numbers of ANSI E1.31-2018 that more than one file needs.</summary>
public static class E131Numbers
{
    /// <summary>UDP port of ACN (§9.1.1, Appendix A).</summary>
    public const int Port = 5568;

    /// <summary>Priority of a source that was not told another (§6.2.3).</summary>
    public const byte DefaultPriority = 100;

    public const byte HighestPriority = 200;

    /// <summary>The universe that discovery packets are sent to (Appendix A).</summary>
    public const int DiscoveryUniverse = 64214;

    /// <summary>Start code of dimmer levels.</summary>
    public const byte NullStartCode = 0x00;

    /// <summary>Start code of per-address priority: a manufacturers' extension, common practice, no part of E1.31.</summary>
    public const byte PerAddressPriorityStartCode = 0xDD;

    public const int MostSlots = 512;

    /// <summary>Packets with the option Stream_Terminated that a source sends when it ends a universe (§6.2.6).</summary>
    public const int TerminationPackets = 3;

    /// <summary>Header up to and with the start code; levels follow.</summary>
    public const int HeaderLength = 126;

    /// <summary>A data packet with all 512 levels.</summary>
    public const int LongestDataPacket = HeaderLength + MostSlots;

    /// <summary>Time after which a source that fell silent is lost (Appendix A, E131_NETWORK_DATA_LOSS_TIMEOUT).</summary>
    public static readonly TimeSpan LossTimeout = TimeSpan.FromSeconds(2.5);

    /// <summary>Time between a source's universe discoveries (Appendix A, E131_UNIVERSE_DISCOVERY_INTERVAL).</summary>
    public static readonly TimeSpan DiscoveryInterval = TimeSpan.FromSeconds(10);

    /// <summary>239.255.hi.lo (§9.3.1).</summary>
    public static IPAddress Group(int universe) => new([239, 255, (byte)(universe >> 8), (byte)universe]);

    /// <summary>ff18::8300:hhll (§9.3.2).</summary>
    public static IPAddress Group6(int universe) =>
        new([0xFF, 0x18, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x83, 0, (byte)(universe >> 8), (byte)universe]);
}
