using System.Net;

namespace StageView.Wire.Names;

/// <summary>Numbers of DNS (RFC 1035, RFC 2782, RFC 3596) and multicast DNS (RFC 6762), and the bounds on what is read.</summary>
internal static class DnsNumbers
{
    public const int Port = 5353;

    public const int HeaderLength = 12;

    /// <summary>RFC 6762, 17: the most that a multicast DNS message may hold.</summary>
    public const int MostBytes = 9000;

    /// <summary>RFC 1035, 2.3.4: bytes of a name with its length bytes.</summary>
    public const int MostNameBytes = 255;

    /// <summary>RFC 1035, 2.3.4.</summary>
    public const int MostLabelBytes = 63;

    /// <summary>Questions and records of a message that are read.</summary>
    public const int MostRecords = 512;

    /// <summary>Strings of a TXT record that are kept.</summary>
    public const int MostTexts = 64;

    public const ushort A = 1;
    public const ushort Ptr = 12;
    public const ushort Txt = 16;
    public const ushort Aaaa = 28;
    public const ushort Srv = 33;
    public const ushort Any = 255;

    public const ushort Internet = 1;

    /// <summary>Top bit of a record's class: other records of that name and type are out of date (RFC 6762, 10.2).</summary>
    public const ushort CacheFlush = 0x8000;

    /// <summary>Flags of an answer: response, authoritative (RFC 6762, 18).</summary>
    public const ushort ResponseFlags = 0x8400;

    /// <summary>Seconds that records with a host name or address last (RFC 6762, 10).</summary>
    public const uint HostTtl = 120;

    /// <summary>Seconds that other records last (RFC 6762, 10).</summary>
    public const uint OtherTtl = 4500;

    /// <summary>RFC 6762, 3.</summary>
    public static IPAddress Group { get; } = new([224, 0, 0, 251]);
}
