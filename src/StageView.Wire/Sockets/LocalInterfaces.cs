using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;

namespace StageView.Wire.Sockets;

/// <summary>Which of this machine's interfaces has an address.</summary>
internal sealed class LocalInterfaces
{
    private readonly NetworkInterface[] _all = NetworkInterface.GetAllNetworkInterfaces();

    /// <summary>The interface, or null. All of 127.0.0.0/8 is loopback's (RFC 1122 §3.2.1.3), listed or not.</summary>
    public NetworkInterface? Of(IPAddress address) =>
        Array.Find(_all, n => n.GetIPProperties().UnicastAddresses.Any(u => u.Address.Equals(address)))
        ?? (address.AddressFamily == AddressFamily.InterNetwork && IPAddress.IsLoopback(address)
            ? Array.Find(_all, n => n.NetworkInterfaceType == NetworkInterfaceType.Loopback) : null);

    /// <summary>The first address of each interface and IP version: who joins a group by both takes each of its packets twice.</summary>
    public IEnumerable<IPAddress> OneOfEach(IEnumerable<IPAddress> addresses) =>
        addresses.DistinctBy(a => (a.AddressFamily, Of(a)?.Id ?? a.ToString()));
}
