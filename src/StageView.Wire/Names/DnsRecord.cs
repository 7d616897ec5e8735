using System.Net;

namespace StageView.Wire.Names;

/// <param name="Name">As <see cref="DnsName"/> writes names.</param>
/// <param name="Type">RFC 1035 number, or <see cref="DnsNumbers.Any"/>.</param>
internal readonly record struct DnsQuestion(string Name, ushort Type);

/// <summary>A record with the content of the kinds that are used; others are read over.</summary>
internal sealed record DnsRecord
{
    public required string Name { get; init; }

    public required ushort Type { get; init; }

    /// <summary>Seconds that it lasts; 0 takes it back.</summary>
    public required uint Ttl { get; init; }

    /// <summary>Whether other records of that name and type are out of date.</summary>
    public bool Flush { get; init; }

    /// <summary>The name that a PTR or SRV record leads to, or empty.</summary>
    public string Target { get; init; } = "";

    /// <summary>Port of an SRV record.</summary>
    public ushort Port { get; init; }

    /// <summary>Strings of a TXT record.</summary>
    public IReadOnlyList<string> Texts { get; init; } = [];

    /// <summary>Address of an A or AAAA record, or null.</summary>
    public IPAddress? Address { get; init; }

    /// <summary>Whether it says the same, however long it lasts.</summary>
    public bool Says(DnsRecord other) =>
        Type == other.Type && DnsName.Same(Name, other.Name) && DnsName.Same(Target, other.Target) && Port == other.Port
        && Equals(Address, other.Address) && Texts.SequenceEqual(other.Texts);
}
