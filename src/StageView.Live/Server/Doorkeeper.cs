using System.Globalization;
using System.Net;

namespace StageView.Live.Server;

internal enum Verdict
{
    /// <summary>Answer.</summary>
    Enter,

    /// <summary>A key was spent: hand out the session and send the page to its plain address.</summary>
    EnterWithSession,

    /// <summary>Say nothing and hang up.</summary>
    HangUp,

    /// <summary>Refuse in words: the asker is at this machine, or holds a session, but the request isn't one of ours.</summary>
    Refuse,
}

/// <summary>Decides which requests are answered at all.</summary>
internal sealed class Doorkeeper(DoorKeys keys)
{
    public const string CookieName = "stageview";

    /// <param name="remote">Who asks.</param>
    /// <param name="local">The address it reached us at.</param>
    /// <param name="host">The Host header.</param>
    /// <param name="origin">The Origin header, or null.</param>
    /// <param name="session">The session cookie, or null.</param>
    /// <param name="key">The key in the address, or null.</param>
    /// <param name="secure">Whether it came over TLS.</param>
    /// <param name="opened">The session that the key opened.</param>
    /// <param name="role">What may be done, where it may enter.</param>
    public Verdict Judge(IPAddress remote, IPAddress local, string host, string? origin, string? session, string? key, bool secure, out string? opened,
        out DoorRole role)
    {
        (opened, role) = (null, DoorRole.Lead);
        var atThisMachine = IPAddress.IsLoopback(Plain(remote));
        if (!HostIsOurs(host, Plain(local)))
        {
            return atThisMachine ? Verdict.Refuse : Verdict.HangUp;
        }

        if (!atThisMachine)
        {
            // Who may do everything needs no key; who looks may be given one that leads.
            var may = keys.Opens(session);
            opened = may == DoorRole.Lead ? null : keys.Spend(key);
            if (opened is not null || may is null)
            {
                return opened is null ? Verdict.HangUp : Verdict.EnterWithSession;
            }

            role = may.Value;
        }

        // A page of another site can open a socket here; its Origin gives it away.
        return origin is null || origin == (secure ? "https://" : "http://") + host ? Verdict.Enter : Verdict.Refuse;
    }

    /// <summary>
    /// A name could be made to point here by another site's DNS, a bare address can't: only <c>localhost</c> and the
    /// address that was reached are ours.
    /// </summary>
    private static bool HostIsOurs(string host, IPAddress local)
    {
        var name = host;
        var colon = host.LastIndexOf(':');
        if (colon >= 0 && !host.EndsWith(']'))
        {
            if (!int.TryParse(host.AsSpan(colon + 1), NumberStyles.None, CultureInfo.InvariantCulture, out _))
            {
                return false;
            }

            name = host[..colon];
        }

        if (name.Equals("localhost", StringComparison.OrdinalIgnoreCase))
        {
            return IPAddress.IsLoopback(local);
        }

        // IPv6 stands in brackets (RFC 3986, section 3.2.2).
        return (!name.Contains(':') || (name.StartsWith('[') && name.EndsWith(']')))
            && IPAddress.TryParse(name.Trim('[', ']'), out var address) && Plain(address).Equals(local);
    }

    /// <summary>An IPv4 address as such, and one of a link without its interface, which no link names.</summary>
    private static IPAddress Plain(IPAddress address) =>
        address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address.IsIPv6LinkLocal ? new IPAddress(address.GetAddressBytes()) : address;
}
