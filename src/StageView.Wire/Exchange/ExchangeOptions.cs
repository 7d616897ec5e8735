using System.Net;
using StageView.Wire.Names;

namespace StageView.Wire.Exchange;

/// <summary>How a station joins a group.</summary>
public sealed record ExchangeOptions
{
    /// <summary>Name of the group: 1 to 60 bytes in UTF-8.</summary>
    public required string Group { get; init; }

    /// <summary>The name that others show.</summary>
    public required string StationName { get; init; }

    /// <summary>Stays the same over restarts.</summary>
    public required Guid Station { get; init; }

    /// <summary>A local IPv4 address: others are looked for on its interface, and it alone is listened on.</summary>
    public required IPAddress Address { get; init; }

    /// <summary>TCP port; 0 takes a free one.</summary>
    public int Port { get; init; }

    /// <summary>UDP port of multicast DNS, where it isn't the standard's.</summary>
    public int NamesPort { get; init; } = MulticastNames.StandardPort;
}
