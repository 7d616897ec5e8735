using System.Net;

namespace StageView.Wire.Names;

/// <summary>A service that this machine offers in a group, as records of DNS-SD (RFC 6763).</summary>
/// <param name="Type">Service and protocol, such as <c>_mvrxchange._tcp</c>.</param>
/// <param name="Group">Name of the group: the sub service is <c>GROUP.TYPE.local.</c></param>
/// <param name="Instance">One label that nobody else has, at most 63 bytes.</param>
/// <param name="Host">One label that nobody else has, at most 63 bytes.</param>
/// <param name="Address">Where the host is reached.</param>
/// <param name="Port">TCP port.</param>
/// <param name="Texts">Strings <c>key=value</c>.</param>
public sealed record ServiceOffer(
    string Type, string Group, string Instance, string Host, IPAddress Address, int Port, IReadOnlyList<string> Texts)
{
    internal string TypeName => Type + ".local.";

    /// <summary>The group as its standard writes it (DIN SPEC 15801), and as a subtype (RFC 6763, 7.1), by which other browsers find it.</summary>
    internal string[] GroupNames => NamesOf(Type, Group);

    internal string InstanceName => DnsName.Label(Instance) + "." + TypeName;

    internal string HostName => DnsName.Label(Host) + ".local.";

    internal static string[] NamesOf(string type, string group) =>
        [$"{DnsName.Label(group)}.{type}.local.", $"_{DnsName.Label(group)}._sub.{type}.local."];

    /// <summary>All records.</summary>
    internal IReadOnlyList<DnsRecord> Records =>
    [
        .. GroupNames.Prepend(TypeName).Select(n => new DnsRecord { Name = n, Type = DnsNumbers.Ptr, Ttl = DnsNumbers.OtherTtl, Target = InstanceName }),
        new DnsRecord { Name = "_services._dns-sd._udp.local.", Type = DnsNumbers.Ptr, Ttl = DnsNumbers.OtherTtl, Target = TypeName },
        new DnsRecord
        {
            Name = InstanceName, Type = DnsNumbers.Srv, Ttl = DnsNumbers.HostTtl, Flush = true, Target = HostName, Port = (ushort)Port,
        },
        new DnsRecord { Name = InstanceName, Type = DnsNumbers.Txt, Ttl = DnsNumbers.OtherTtl, Flush = true, Texts = Texts },
        new DnsRecord { Name = HostName, Type = DnsNumbers.A, Ttl = DnsNumbers.HostTtl, Flush = true, Address = Address },
    ];

    /// <summary>
    /// What a query asks for, less what it says that it knows (RFC 6762, 7.1); null where that is nothing. What who asked will ask for next goes along
    /// (RFC 6763, 12).
    /// </summary>
    internal DnsMessage? Answer(DnsMessage query)
    {
        var all = Records;
        var asked = all.Where(r => query.Questions.Any(q => DnsName.Same(q.Name, r.Name) && (q.Type == r.Type || q.Type == DnsNumbers.Any))
            && !query.Answers.Any(k => k.Says(r) && k.Ttl >= r.Ttl / 2)).ToList();
        if (asked.Count == 0)
        {
            return null;
        }

        var answer = new DnsMessage { IsResponse = true };
        answer.Answers.AddRange(asked);
        answer.Others.AddRange(all.Where(r => r.Flush && !asked.Contains(r)));
        return answer;
    }

    /// <summary>All records, to say that they are there, or with no time to last that they are gone (RFC 6762, 8.3 and 10.1).</summary>
    internal DnsMessage Announcement(bool goodbye)
    {
        var message = new DnsMessage { IsResponse = true };

        // The kind of service stays: others may offer it.
        message.Answers.AddRange(Records.Where(r => !goodbye || r.Target != TypeName).Select(r => goodbye ? r with { Ttl = 0 } : r));
        return message;
    }

    /// <summary>Asks whether anyone has the names, with what is to be said of them (RFC 6762, 8.1).</summary>
    internal DnsMessage Probe()
    {
        var message = new DnsMessage();
        message.Questions.Add(new DnsQuestion(InstanceName, DnsNumbers.Any));
        message.Questions.Add(new DnsQuestion(HostName, DnsNumbers.Any));
        return message;
    }

    /// <summary>Whether someone else says other things of our names.</summary>
    internal bool IsDisputedBy(DnsMessage response) => response.IsResponse && response.Answers.Concat(response.Others).Any(r => r.Ttl > 0
        && Records.Any(o => o.Flush && o.Type == r.Type && DnsName.Same(o.Name, r.Name))
        && !Records.Any(o => o.Says(r)));
}
